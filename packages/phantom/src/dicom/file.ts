import { deflateSync } from 'fflate'
import type { Dataset, Lengths } from './dataset.js'
import { encodeDataset } from './encode.js'

/** Transfer syntax UIDs the writer can lay out (PS3.5 annex A). */
export const transferSyntax = {
  implicitLittle: '1.2.840.10008.1.2',
  explicitLittle: '1.2.840.10008.1.2.1',
  deflated: '1.2.840.10008.1.2.1.99',
  explicitBig: '1.2.840.10008.1.2.2',
  rle: '1.2.840.10008.1.2.5',
} as const

export type TransferSyntax = keyof typeof transferSyntax

export interface FileOptions {
  /** Default 'explicitLittle'. 'rle' needs PixelData given as fragments. */
  readonly syntax?: TransferSyntax
  /** Of sequences and their items. Default 'explicit'. */
  readonly lengths?: Lengths
  /** Write the 128 byte preamble and "DICM". Default true. */
  readonly preamble?: boolean
  /** Elements of group 2 to change, or `undefined` to leave out; `null` writes no group 2 at all. */
  readonly meta?: Dataset | null
}

/**
 * A DICOM file (PS3.10): preamble, file meta information, data set.
 * Nothing is checked against an object definition, so faulty files can be written too. Native PixelData is taken as
 * bytes already in the byte order of the transfer syntax.
 */
export function writeDicom(dataset: Dataset, options: FileOptions = {}): Uint8Array {
  const syntax = options.syntax ?? 'explicitLittle'
  const body = encodeDataset(dataset, {
    vr: syntax === 'implicitLittle' ? 'implicit' : 'explicit',
    littleEndian: syntax !== 'explicitBig',
    lengths: options.lengths,
  })
  const parts: Uint8Array[] = []
  if (options.preamble ?? true) parts.push(new Uint8Array(128), Uint8Array.of(0x44, 0x49, 0x43, 0x4d))
  if (options.meta !== null) parts.push(encodeMeta(dataset, syntax, options.meta ?? {}))
  parts.push(syntax === 'deflated' ? even(deflateSync(body, { level: 6 })) : body)
  return concatenate(parts)
}

function encodeMeta(dataset: Dataset, syntax: TransferSyntax, changes: Dataset): Uint8Array {
  const group = encodeDataset({
    FileMetaInformationVersion: Uint8Array.of(0, 1),
    MediaStorageSOPClassUID: dataset.SOPClassUID,
    MediaStorageSOPInstanceUID: dataset.SOPInstanceUID,
    TransferSyntaxUID: transferSyntax[syntax],
    ImplementationClassUID: '2.25.214913587460125483014583459238456102',
    ImplementationVersionName: 'ALVEOMETER_01',
    ...changes,
  })
  const length = changes.FileMetaInformationGroupLength ?? group.length
  return concatenate([encodeDataset({ FileMetaInformationGroupLength: length }), group])
}

const even = (bytes: Uint8Array): Uint8Array =>
  bytes.length % 2 ? concatenate([bytes, Uint8Array.of(0)]) : bytes

function concatenate(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((n, part) => n + part.length, 0))
  let at = 0
  for (const part of parts) {
    all.set(part, at)
    at += part.length
  }
  return all
}
