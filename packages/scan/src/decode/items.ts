import type { SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { FindingError } from '../report/index.js'
import { truncated } from './findings.js'

/** One item of encapsulated pixel data: where its value lies in the file, and the first bytes of it. */
export interface Item {
  readonly offset: number
  readonly length: number
  readonly head: Uint8Array
}

const ITEM = 0xe000
const SEQUENCE_END = 0xe0dd
/** Tag and length of an item. */
const ITEM_HEADER = 8
const HEAD_BYTES = 12

/** A part of a file that is kept, so that many small pieces cost few reads. */
export class Window {
  readonly #source: ScanInput
  readonly #signal: AbortSignal | undefined
  #start = 0
  #bytes: Uint8Array = new Uint8Array(0)

  constructor(source: ScanInput, signal?: AbortSignal) {
    this.#source = source
    this.#signal = signal
  }

  /** Bytes from `from` up to but without `to`, fewer at the end of the file. A miss reads at least `ahead` bytes. */
  async bytes(from: number, to: number, ahead: number): Promise<Uint8Array> {
    const end = Math.min(to, this.#source.size)
    if (from < this.#start || end > this.#start + this.#bytes.length) {
      this.#bytes = await this.#source.read(from, Math.max(to, from + ahead), this.#signal)
      this.#start = from
    }
    return this.#bytes.subarray(from - this.#start, to - this.#start)
  }
}

/** Read at once while items are short; between long ones the reader jumps from header to header. */
const WINDOW_BYTES = 65536

/**
 * All items of the Pixel Data element, the offset table among them, as their lengths say (PS3.5 A.4): what looks like
 * a delimiter inside compressed bytes is none. Ends where no item follows, with or without a delimiter.
 * @throws FindingError `file-truncated` when an item reaches beyond the file.
 */
export async function readItems({ source, pixels, file }: SliceHeader, window: Window): Promise<Item[]> {
  const items: Item[] = []
  let at = pixels?.offset ?? source.size
  const end = pixels?.length == null ? source.size : Math.min(source.size, at + pixels.length)
  while (at + ITEM_HEADER <= end) {
    const long = (items.at(-1)?.length ?? 0) > WINDOW_BYTES
    const bytes = await window.bytes(at, at + ITEM_HEADER + HEAD_BYTES, long ? 0 : WINDOW_BYTES)
    if (bytes.length < ITEM_HEADER) throw new FindingError(truncated(file))
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
    const element = view.getUint16(2, true)
    if (view.getUint16(0, true) !== 0xfffe || element === SEQUENCE_END) break
    const length = view.getUint32(4, true)
    if (element !== ITEM || at + ITEM_HEADER + length > source.size) throw new FindingError(truncated(file))
    const head = new Uint8Array(bytes.subarray(ITEM_HEADER, ITEM_HEADER + Math.min(length, HEAD_BYTES)))
    items.push({ offset: at + ITEM_HEADER, length, head })
    at += ITEM_HEADER + length
  }
  return items
}
