import { inflateUpTo, inputFromBytes, joinBytes, type ScanInput } from '../inputs/index.js'
import { parseMeta } from './parse.js'
import { DEFLATED, EXPLICIT_LITTLE, IMPLICIT_LITTLE } from './syntax.js'

/** How the bytes of a DICOM file are wrapped, told from their content and never from the name. */
export interface Container {
  /** The bytes to parse and to read pixels from. */
  readonly source: ScanInput
  /** Given when the bytes themselves carry no file meta information. */
  readonly impliedSyntaxUid?: string
}

const PREAMBLE_BYTES = 132
/** A whole scan in one deflated file is smaller; a file that unpacks to more is a trap. */
const LARGEST_DATASET_BYTES = 2 ** 30

/** Null when the input is not DICOM. `head` holds its first bytes. May read the whole file of a deflated input. */
export async function containerOf(
  input: ScanInput,
  head: Uint8Array,
  signal?: AbortSignal,
): Promise<Container | null> {
  if (!hasPreamble(head)) return bareContainer(input, head)
  const meta = parseMeta(head)
  if (meta?.transferSyntaxUid !== DEFLATED) return { source: input }
  const bytes = await input.read(0, input.size, signal)
  try {
    const unpacked = inflateUpTo(bytes.subarray(meta.end), LARGEST_DATASET_BYTES)
    return { source: inputFromBytes(input.name, unpacked), impliedSyntaxUid: EXPLICIT_LITTLE }
  } catch {
    return { source: input }
  }
}

export const hasPreamble = (head: Uint8Array): boolean =>
  head.length >= PREAMBLE_BYTES && String.fromCharCode(...head.subarray(128, PREAMBLE_BYTES)) === 'DICM'

/** A data set without preamble: it starts with group 0008 (or 0002), little endian, explicit or implicit. */
function bareContainer(input: ScanInput, head: Uint8Array): Container | null {
  if (head.length < 16) return null
  const view = new DataView(head.buffer, head.byteOffset, head.length)
  const group = view.getUint16(0, true)
  const explicit = /^[A-Z]{2}$/.test(String.fromCharCode(head[4] as number, head[5] as number))
  if (group === 2 && explicit) return { source: withPreamble(input) }
  if (group !== 8 || view.getUint16(2, true) > 0x0100) return null
  if (explicit) return { source: input, impliedSyntaxUid: EXPLICIT_LITTLE }
  return view.getUint32(4, true) < 1024 ? { source: input, impliedSyntaxUid: IMPLICIT_LITTLE } : null
}

/**
 * Whether a data set seems to start a few bytes into the file: Specific Character Set, Image Type or SOP Class UID in
 * explicit little endian. Bytes were lost or added in front of it, so it is DICOM, and damaged.
 */
export function hasShiftedStart(head: Uint8Array): boolean {
  const start = String.fromCharCode(...head.subarray(0, 160))
  return ['\x08\0\x05\0CS', '\x08\0\x08\0CS', '\x08\0\x16\0UI'].some((first) => start.includes(first))
}

const withPreamble = (input: ScanInput): ScanInput => ({
  name: input.name,
  size: input.size + PREAMBLE_BYTES,
  read: async (start = 0, end = input.size + PREAMBLE_BYTES, signal) => {
    const preamble = new Uint8Array(PREAMBLE_BYTES)
    preamble.set([0x44, 0x49, 0x43, 0x4d], 128)
    const front = preamble.subarray(start, end)
    const back = await input.read(
      Math.max(0, start - PREAMBLE_BYTES),
      Math.max(0, end - PREAMBLE_BYTES),
      signal,
    )
    return joinBytes([front, back])
  },
})
