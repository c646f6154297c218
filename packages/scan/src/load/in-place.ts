import { truncated } from '../decode/index.js'
import type { SlicePlacement } from '../geometry/index.js'
import { type Frame, isAsStored, rescaleOf, type Voxels } from '../grey/index.js'
import { pixelCoding, type SliceHeader } from '../headers/index.js'
import { FindingError } from '../report/index.js'

const machineIsLittleEndian = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1

/**
 * Whether the pixels can be read straight into the volume and turned into grey values there: words of 16 bits in the
 * order of this machine, from a source that can fill memory of ours. Where grey values differ from the words, the
 * volume must also be sure to keep its type, for the words are gone then.
 */
export const canReadInPlace = (headers: readonly SliceHeader[], voxels: Voxels): boolean =>
  machineIsLittleEndian &&
  !(voxels.data instanceof Float32Array) &&
  headers.every(
    (h) =>
      (h.source.readInto !== undefined || h.source.blob !== undefined) &&
      h.layout.bitsAllocated === 16 &&
      pixelCoding(h.transferSyntaxUid) === 'native' &&
      (voxels.settled || isAsStored(h, rescaleOf(h))),
  )

/**
 * The words of each slice in turn, in the memory that its grey values will take.
 * @throws FindingError `file-truncated`, `file-unreadable`
 */
export async function* framesInPlace(
  slices: readonly SlicePlacement[],
  voxels: Voxels,
  signal?: AbortSignal,
): AsyncGenerator<Frame> {
  const places = slices.map((slice) => placeOf(slice, voxels))
  const parts = places.map(({ header, start, bytes }) =>
    header.source.blob?.slice(start, start + bytes.length),
  )
  const blobs = parts.filter((part) => part !== undefined)
  const stream = blobs.length === parts.length ? new BlobFiller(blobs) : null
  try {
    for (const place of places) {
      signal?.throwIfAborted()
      if (!(await stream?.fill(place.bytes))) await fillAlone(place, signal)
      yield { pixels: place.words, packed: true }
    }
  } finally {
    stream?.close()
  }
}

interface Place {
  readonly header: SliceHeader
  /** Where the words stand in the file. */
  readonly start: number
  readonly words: Uint16Array
  /** The same memory. */
  readonly bytes: Uint8Array
}

function placeOf({ header, k }: SlicePlacement, voxels: Voxels): Place {
  const { pixels, frame, layout } = header
  const count = layout.rows * layout.columns
  const { buffer, byteOffset } = voxels.data
  const words = new Uint16Array(buffer, byteOffset + 2 * k * count, count)
  const bytes = new Uint8Array(buffer, words.byteOffset, words.byteLength)
  return { header, start: (pixels?.offset ?? 0) + frame * bytes.length, words, bytes }
}

async function fillAlone({ header, start, bytes }: Place, signal?: AbortSignal): Promise<void> {
  const { source, file } = header
  let filled: number
  if (source.readInto) filled = await source.readInto(bytes, start, signal)
  else {
    const read = await source.read(start, start + bytes.length, signal)
    bytes.set(read)
    filled = read.length
  }
  if (filled < bytes.length) throw new FindingError(truncated(file))
}

const WINDOW_BYTES = 2 ** 20
/** Longest time, in ms, for which the stream keeps the thread to itself. */
const TURN_MS = 20

/**
 * Reads many parts of files as one stream: in a browser a read of its own for every slice takes twice as long as all
 * the copying.
 */
class BlobFiller {
  private readonly reader: ReadableStreamBYOBReader
  private window = new Uint8Array(WINDOW_BYTES)
  /** What came and has no place yet. */
  private rest = this.window.subarray(0, 0)
  private broken = false
  private turnStarted = performance.now()

  constructor(parts: readonly Blob[]) {
    this.reader = new Blob([...parts]).stream().getReader({ mode: 'byob' })
  }

  /** Fills `target` with the next bytes. False when the stream has broken off: no later byte comes from it then. */
  async fill(target: Uint8Array): Promise<boolean> {
    let filled = 0
    while (!this.broken) {
      const part = this.rest.subarray(0, target.length - filled)
      target.set(part, filled)
      filled += part.length
      this.rest = this.rest.subarray(part.length)
      if (filled === target.length) break
      await this.next()
    }
    await this.othersTurn()
    return !this.broken
  }

  /** Bytes that are there already come without a turn of the event loop, in which a message to stop could come in. */
  private async othersTurn(): Promise<void> {
    if (performance.now() - this.turnStarted < TURN_MS) return
    await new Promise((done) => setTimeout(done))
    this.turnStarted = performance.now()
  }

  close(): void {
    this.broken = true
    this.reader.cancel().catch(() => {})
  }

  private async next(): Promise<void> {
    try {
      const { value, done } = await this.reader.read(this.window)
      if (done || !value) this.broken = true
      else {
        this.rest = value
        this.window = new Uint8Array(value.buffer)
      }
    } catch {
      // Which file it was shows when the slices are read one by one.
      this.broken = true
    }
  }
}
