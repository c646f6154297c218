import dicomParser, { type DataSet } from 'dicom-parser'

export const PIXEL_DATA = 'x7fe00010'

/** Everything in front of the pixel data, or null when `bytes` ends before the pixel data or is damaged. */
export function parseHead(bytes: Uint8Array, transferSyntaxUid?: string): DataSet | null {
  try {
    return dicomParser.parseDicom(withoutOv(bytes), {
      untilTag: PIXEL_DATA,
      ...(transferSyntaxUid ? { TransferSyntaxUID: transferSyntaxUid } : {}),
    })
  } catch {
    // The parser throws strings and plain objects; what matters is only that this head cannot be read (yet).
    return null
  }
}

/** Tag, VR and reserved bytes of the Extended Offset Table (7FE0,0001) and its lengths (7FE0,0002), explicit VR. */
const OFFSET_TABLES = [1, 2].map((element) => [0xe0, 0x7f, element, 0, 0x4f, 0x56, 0, 0])

/**
 * The parser does not know VR OV and loses its place there. OB has the same form, so it is told OB, in a copy. In front
 * of the pixels of an image only the Extended Offset Table is OV.
 */
function withoutOv(bytes: Uint8Array): Uint8Array {
  let copy = bytes
  for (let at = bytes.indexOf(0xe0); at >= 0; at = bytes.indexOf(0xe0, at + 1)) {
    if (!OFFSET_TABLES.some((table) => table.every((byte, i) => bytes[at + i] === byte))) continue
    if (copy === bytes) copy = new Uint8Array(bytes)
    copy[at + 5] = 0x42
  }
  return copy
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
