import type { PixelLayout } from '../headers/index.js'

/** What a compressed image says of itself. */
export interface Codestream {
  readonly columns: number
  /** 0 where the stream does not say. */
  readonly rows: number
  readonly components: number
  /** Bits of a sample. */
  readonly precision: number
  /** Null for JPEG and JPEG-LS: their samples have no sign of their own. */
  readonly signed: boolean | null
  /** Whether it is all there, as far as its markers tell. */
  readonly complete: boolean
}

/** Begins with "start of image", "start of codestream", or the box that opens a JP2 file (some writers keep it). */
export function startsImage(head: Uint8Array): boolean {
  const [a, b, c, d] = head
  if (a === 0xff && b === 0xd8 && c === 0xff) return true
  return (a === 0xff && b === 0x4f && c === 0xff && d === 0x51) || isJp2(head)
}

const JP2 = [0, 0, 0, 12, 0x6a, 0x50, 0x20, 0x20]
const isJp2 = (bytes: Uint8Array) => JP2.every((byte, i) => bytes[i] === byte)

/**
 * Reads the markers of a JPEG (ISO 10918-1 annex B), JPEG-LS (ISO 14495-1 annex C) or JPEG 2000 (ISO 15444-1 annex A)
 * codestream. Null when it is none of these.
 */
export function readCodestream(bytes: Uint8Array): Codestream | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  try {
    if (bytes[0] === 0xff && bytes[1] === 0xd8) return readJpeg(view)
    const start = isJp2(bytes) ? findMarkers(bytes, 0xff4f, 0xff51) : 0
    return view.getUint32(start) === 0xff4fff51 ? readJpeg2000(view, start) : null
  } catch (cause) {
    // A marker reaches beyond the end.
    if (cause instanceof RangeError) return null
    throw cause
  }
}

/** Frame headers: SOF0 to SOF15 without DHT, JPG and DAC; SOF55 is JPEG-LS. */
const isFrameHeader = (marker: number) =>
  (marker >= 0xffc0 && marker <= 0xffcf && marker !== 0xffc4 && marker !== 0xffc8 && marker !== 0xffcc) ||
  marker === 0xfff7
const START_OF_SCAN = 0xffda
/** End of image, and end of codestream of JPEG 2000. It cannot occur inside entropy-coded data. */
const END = 0xffd9

function readJpeg(view: DataView): Codestream | null {
  let frame: Omit<Codestream, 'complete'> | null = null
  for (let at = 2; ; ) {
    // Any number of fill bytes may stand before a marker.
    while (view.getUint16(at) === 0xffff) at++
    const marker = view.getUint16(at)
    if (marker < 0xff01) return null
    if (isFrameHeader(marker))
      frame = {
        precision: view.getUint8(at + 4),
        rows: view.getUint16(at + 5),
        columns: view.getUint16(at + 7),
        components: view.getUint8(at + 9),
        signed: null,
      }
    if (marker === START_OF_SCAN) return frame && { ...frame, complete: endsAfter(view, at) }
    at += 2 + view.getUint16(at + 2)
  }
}

/** Whether the end mark follows; a pad byte and more may come after it. */
function endsAfter(view: DataView, start: number): boolean {
  for (let at = view.byteLength - 2; at > start; at--) if (view.getUint16(at) === END) return true
  return false
}

const TILE_PART = 0xff90

function readJpeg2000(view: DataView, start: number): Codestream | null {
  const u32 = (at: number) => view.getUint32(start + at)
  const sample = view.getUint8(start + 42)
  let at = start + 2
  while (view.getUint16(at) !== TILE_PART) at += 2 + view.getUint16(at + 2)
  return {
    columns: u32(8) - u32(16),
    rows: u32(12) - u32(20),
    components: view.getUint16(start + 40),
    precision: (sample & 0x7f) + 1,
    signed: sample >= 0x80,
    complete: tilePartsComplete(view, at),
  }
}

/** Every tile-part says how long it is; behind the last one stands the end mark. */
function tilePartsComplete(view: DataView, first: number): boolean {
  for (let at = first; at + 2 <= view.byteLength; ) {
    const marker = view.getUint16(at)
    if (marker === END) return true
    if (marker !== TILE_PART || at + 12 > view.byteLength) return false
    const length = view.getUint32(at + 6)
    // A last tile-part may leave its length open.
    if (length === 0) return endsAfter(view, at)
    if (length < 12) return false
    at += length
  }
  return false
}

function findMarkers(bytes: Uint8Array, first: number, second: number): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  for (let at = 0; at + 4 <= bytes.length; at++)
    if (view.getUint16(at) === first && view.getUint16(at + 2) === second) return at
  return 0
}

/**
 * Whether the codestream cannot be what the header describes: another sign, or samples too narrow for Bits Stored or
 * too wide for the word. More bits than Bits Stored are usual: most writers compress the whole word.
 */
export const disagrees = (
  { signed, precision }: Codestream,
  { signed: wanted, bitsStored, bitsAllocated }: PixelLayout,
): boolean => (signed !== null && signed !== wanted) || precision < bitsStored || precision > bitsAllocated
