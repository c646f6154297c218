import type { Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'
import { uidFrom } from './uid.js'

export interface SeriesNames {
  /** Every UID follows from it, unless the volume's identity already names the series and frame of reference. */
  readonly seed: string
  readonly patientName: string
  readonly patientId: string
  readonly seriesDescription: string
}

/** When everything was made. */
export const date = '20240101'
export const time = '120000'

/** The names not given, for a volume. */
export const seriesNames = (volume: Volume, given: Partial<SeriesNames>): SeriesNames => ({
  seed: given.seed ?? (volume.identity.seriesUid || volume.identity.fingerprint),
  patientName: given.patientName ?? 'Phantom^Computed',
  patientId: given.patientId ?? 'PHANTOM',
  seriesDescription: given.seriesDescription ?? 'Computed phantom',
})

/** Patient, study, series, frame of reference and maker: what all images of a series have in common. */
export function seriesElements(volume: Volume, names: SeriesNames): Dataset {
  return {
    SpecificCharacterSet: 'ISO_IR 192',
    StudyDate: date,
    SeriesDate: date,
    ContentDate: date,
    StudyTime: time,
    SeriesTime: time,
    ContentTime: time,
    AccessionNumber: '',
    Modality: 'CT',
    Manufacturer: 'Alveometer phantom',
    ReferringPhysicianName: '',
    StudyDescription: 'Computed phantom, no patient',
    SeriesDescription: names.seriesDescription,
    PatientName: names.patientName,
    PatientID: names.patientId,
    PatientBirthDate: '',
    PatientSex: 'O',
    PatientPosition: 'HFS',
    StudyInstanceUID: uidFrom(`${names.seed}/study`),
    SeriesInstanceUID: volume.identity.seriesUid || uidFrom(`${names.seed}/series`),
    StudyID: '1',
    SeriesNumber: 1,
    FrameOfReferenceUID: volume.identity.frameOfReferenceUid || uidFrom(`${names.seed}/frame`),
    PositionReferenceIndicator: '',
  }
}
