import dicomParser, { type DataSet } from 'dicom-parser'

export const PIXEL_DATA = 'x7fe00010'

/** Everything in front of the pixel data, or null when `bytes` ends before the pixel data or is damaged. */
export function parseHead(bytes: Uint8Array, transferSyntaxUid?: string): DataSet | null {
  try {
    return dicomParser.parseDicom(bytes, {
      untilTag: PIXEL_DATA,
      ...(transferSyntaxUid ? { TransferSyntaxUID: transferSyntaxUid } : {}),
    })
  } catch {
    // The parser throws strings and plain objects; what matters is only that this head cannot be read (yet).
    return null
  }
}

/** File Meta Information alone (group 0002, always explicit little endian): its transfer syntax and where it ends. */
export function parseMeta(
  bytes: Uint8Array,
): { transferSyntaxUid: string; sopClassUid: string; end: number } | null {
  try {
    const meta = dicomParser.readPart10Header(bytes)
    const end = Object.values(meta.elements).reduce((last, e) => Math.max(last, e.dataOffset + e.length), 0)
    // Reading a value of a damaged element may throw as well.
    const transferSyntaxUid = meta.string('x00020010') ?? ''
    return { transferSyntaxUid, sopClassUid: meta.string('x00020002') ?? '', end }
  } catch {
    return null
  }
}
