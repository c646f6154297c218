import { type Dataset, writeDicom } from '@alveometer/phantom'
import { readFrames } from '../src/decode/index.js'
import { greyOf } from '../src/grey/index.js'
import { readHeader, type SliceHeader } from '../src/headers/index.js'
import { type Decoder, inputFromBytes } from '../src/index.js'
import type { ReportEntry } from '../src/report/index.js'

/** How the pixels of an image are described. */
export interface ImageBits {
  readonly columns: number
  readonly rows: number
  readonly bitsAllocated?: 8 | 16
  readonly bitsStored: number
  readonly signed: boolean
}

const elements = ({ columns, rows, bitsAllocated = 16, bitsStored, signed }: ImageBits): Dataset => ({
  SOPClassUID: '1.2.840.10008.5.1.4.1.1.2',
  SOPInstanceUID: '2.25.7',
  StudyInstanceUID: '2.25.8',
  SeriesInstanceUID: '2.25.9',
  PatientName: 'Phantom^Computed',
  PatientID: 'PHANTOM',
  Modality: 'CT',
  SamplesPerPixel: 1,
  PhotometricInterpretation: 'MONOCHROME2',
  Rows: rows,
  Columns: columns,
  BitsAllocated: bitsAllocated,
  BitsStored: bitsStored,
  HighBit: bitsStored - 1,
  PixelRepresentation: signed ? 1 : 0,
})

/** An image as a DICOM file, uncompressed: values as words of Bits Allocated, the bits above Bits Stored zero. */
export function rawImage(values: readonly number[], bits: ImageBits): Uint8Array {
  const masked = values.map((value) => value & (2 ** bits.bitsStored - 1))
  const bytes =
    bits.bitsAllocated === 8 ? Uint8Array.from(masked) : new Uint8Array(Uint16Array.from(masked).buffer)
  return writeDicom({ ...elements(bits), PixelData: { vr: 'OW', value: bytes } })
}

/** The same around a compressed codestream. */
export const compressedImage = (codestream: Uint8Array, bits: ImageBits, uid: string): Uint8Array =>
  writeDicom(
    { ...elements(bits), PixelData: { fragments: [codestream] } },
    { syntax: 'rle', meta: { TransferSyntaxUID: uid } },
  )

export async function headersOf(bytes: Uint8Array, name = 'image.dcm'): Promise<readonly SliceHeader[]> {
  const result = await readHeader(inputFromBytes(name, bytes))
  if (result.kind !== 'image') throw new Error(`${name} is ${result.kind}`)
  return result.slices
}

/** The stored values of a file, frame after frame, as its header means them, and what was noted. */
export async function storedValues(
  bytes: Uint8Array,
  decoder?: Decoder,
): Promise<{ values: number[]; report: ReportEntry[] }> {
  const headers = await headersOf(bytes)
  const report: ReportEntry[] = []
  const values: number[] = []
  let k = 0
  for await (const frame of readFrames(headers, decoder, undefined, report)) {
    const header = headers[k++] as SliceHeader
    const out = new Float64Array(header.layout.rows * header.layout.columns)
    greyOf(frame, header, { slope: 1, intercept: 0 }, out)
    values.push(...out)
  }
  return { values, report }
}
