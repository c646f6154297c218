import type { Frame } from '../grey/index.js'
import type { PixelLayout } from '../headers/index.js'

/** One compressed image, cut out of its file and put into a small clean DICOM file of its own. */
export interface CompressedImage {
  /** For messages. */
  readonly file: string
  readonly transferSyntaxUid: string
  readonly layout: PixelLayout
  /** A complete DICOM file: pixels and their layout, no rescale, no patient, no geometry. */
  readonly dicom: Uint8Array
}

/** Turns compressed pixels into stored values. */
export interface Decoder {
  /** How many images are worth handing over at once. */
  readonly blockSize: number
  /**
   * The pixels of all images one after another, row by row, in the order given.
   * All images of a call share one layout and one transfer syntax. Rejects when any of them cannot be decoded.
   */
  decode(images: readonly CompressedImage[], signal?: AbortSignal): Promise<Frame['pixels']>
}
