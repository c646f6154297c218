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

/** Turns compressed pixels into stored values, row by row. Called for one image at a time. */
export interface Decoder {
  decode(image: CompressedImage, signal?: AbortSignal): Promise<Frame['pixels']>
}
