import type { Frame } from '../grey/index.js'
import type { PixelLayout } from '../headers/index.js'

/** One compressed image, cut out of its file: nothing of the patient, the geometry or the rescale. */
export interface CompressedImage {
  /** For messages: the file, and the frame where it holds several. */
  readonly slice: string
  readonly transferSyntaxUid: string
  /** As the header has it; the codestream may disagree. */
  readonly layout: PixelLayout
  /** The compressed bytes of the image, its fragments joined. */
  readonly codestream: Uint8Array
}

/** Turns compressed pixels into stored values. */
export interface Decoder {
  /** How many images are worth handing over at once. */
  readonly blockSize: number
  /** How many blocks it works on at the same time. More may be handed over; they wait. */
  readonly blocksAtOnce: number
  /**
   * The pixels of all images one after another, row by row, in the order given: the values of the codestream, of which
   * the lowest Bits Stored bits count. All images of a call share one layout and one transfer syntax. Rejects when any
   * of them cannot be decoded, with the signal's reason when aborted.
   */
  decode(images: readonly CompressedImage[], signal?: AbortSignal): Promise<Frame['pixels']>
  /** Frees what it holds and ends what it does. May be called again; a later `decode` starts afresh. */
  close(): void
}
