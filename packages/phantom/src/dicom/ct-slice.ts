import { column, cross, dot, scale, toWorld, type Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'
import { uidFrom } from './uid.js'

/** How grey values become stored integers: stored = grey - intercept. */
export interface Storage {
  readonly signed: boolean
  readonly bitsStored: number
  readonly intercept: number
  /** Stored where the volume holds no data. */
  readonly padding: number
}

/** Signed 16 bit, slope 1, intercept 0: grey values as they are. -2000 lies below any value a scan of air gives. */
export const signedStorage: Storage = { signed: true, bitsStored: 16, intercept: 0, padding: -2000 }

export interface SeriesNames {
  /** Every UID follows from it, unless the volume's identity already names the series and frame of reference. */
  readonly seed: string
  readonly patientName: string
  readonly patientId: string
  readonly seriesDescription: string
}

const date = '20240101'
const time = '120000'

/** The elements of one CT Image (PS3.3 A.3) for slice k of a volume; index x becomes columns, y rows. */
export function ctSlice(volume: Volume, k: number, storage: Storage, names: SeriesNames): Dataset {
  const { shape, spacingMm, indexToWorld, identity } = volume
  const rowDirection = scale(column(indexToWorld, 0), 1 / spacingMm[0])
  const columnDirection = scale(column(indexToWorld, 1), 1 / spacingMm[1])
  const position = toWorld(indexToWorld, [0, 0, k])
  return {
    SpecificCharacterSet: 'ISO_IR 192',
    ImageType: ['DERIVED', 'PRIMARY', 'AXIAL'],
    SOPClassUID: '1.2.840.10008.5.1.4.1.1.2',
    SOPInstanceUID: uidFrom(`${names.seed}/instance/${k}`),
    StudyDate: date,
    SeriesDate: date,
    AcquisitionDate: date,
    ContentDate: date,
    StudyTime: time,
    SeriesTime: time,
    AcquisitionTime: time,
    ContentTime: time,
    AccessionNumber: '',
    Modality: 'CT',
    Manufacturer: 'Alveometer phantom',
    ReferringPhysicianName: '',
    StudyDescription: 'Computed phantom, no patient',
    SeriesDescription: names.seriesDescription,
    DerivationDescription: 'Computed from closed-form surfaces',
    PatientName: names.patientName,
    PatientID: names.patientId,
    PatientBirthDate: '',
    PatientSex: 'O',
    SliceThickness: spacingMm[2],
    KVP: '',
    PatientPosition: 'HFS',
    StudyInstanceUID: uidFrom(`${names.seed}/study`),
    SeriesInstanceUID: identity.seriesUid || uidFrom(`${names.seed}/series`),
    StudyID: '1',
    SeriesNumber: 1,
    AcquisitionNumber: 1,
    InstanceNumber: k + 1,
    ImagePositionPatient: position.map(round),
    ImageOrientationPatient: [...rowDirection, ...columnDirection].map(round),
    FrameOfReferenceUID: identity.frameOfReferenceUid || uidFrom(`${names.seed}/frame`),
    // Type 2C. One validator misses it when absent, however unpaired the body part; empty is allowed.
    Laterality: '',
    PositionReferenceIndicator: '',
    SliceLocation: round(dot(position, cross(rowDirection, columnDirection))),
    SamplesPerPixel: 1,
    PhotometricInterpretation: 'MONOCHROME2',
    Rows: shape[1],
    Columns: shape[0],
    PixelSpacing: [round(spacingMm[1]), round(spacingMm[0])],
    BitsAllocated: 16,
    BitsStored: storage.bitsStored,
    HighBit: storage.bitsStored - 1,
    PixelRepresentation: storage.signed ? 1 : 0,
    PixelPaddingValue: volume.noData === undefined ? undefined : storage.padding,
    WindowCenter: 1000,
    WindowWidth: 4000,
    RescaleIntercept: storage.intercept,
    RescaleSlope: 1,
    RescaleType: 'US',
  }
}

/** Ten decimals: what rounding noise adds to 0.2 x 3 is dropped, what a direction cosine needs is kept. */
const round = (v: number): number => Math.round(v * 1e10) / 1e10

/**
 * The stored integers of slice k, as 16 bit words in row order.
 * A measured voxel that would fall on the padding value is moved one up: it must not be lost.
 * @throws RangeError when a grey value does not fit the storage.
 */
export function storedPixels(volume: Volume, k: number, storage: Storage): Int16Array | Uint16Array {
  const [nx, ny] = volume.shape
  const [sx, sy, sz] = volume.stride
  const low = storage.signed ? -(2 ** (storage.bitsStored - 1)) : 0
  const high = low + 2 ** storage.bitsStored - 1
  const pixels = storage.signed ? new Int16Array(nx * ny) : new Uint16Array(nx * ny)
  const padded = volume.noData !== undefined
  for (let j = 0; j < ny; j++)
    for (let i = 0; i < nx; i++) {
      const grey = volume.data[volume.offset + i * sx + j * sy + k * sz] as number
      let stored = Math.round(grey - storage.intercept)
      if (padded && grey === volume.noData) stored = storage.padding
      else if (padded && stored === storage.padding) stored++
      if (!(stored >= low && stored <= high))
        throw new RangeError(`grey value ${grey} at ${i}, ${j}, ${k} does not fit ${storage.bitsStored} bits`)
      pixels[j * nx + i] = stored
    }
  return pixels
}
