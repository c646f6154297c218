import type { Frame } from '../grey/index.js'
import { isHtj2k } from '../headers/index.js'
import type { CompressedImage } from './decoder.js'
import { decodeWithItk, type PipelineFile, type PipelineResult } from './itk.js'
import { decodeHtj2k, type OpenJph } from './openjph.js'

/** The codecs of a platform, each loaded when it is first needed. Both reject with CodecMissing where it cannot be. */
export interface Codecs {
  /** Runs the series reader of `@itk-wasm/dicom` over files in memory. */
  runItk(files: readonly PipelineFile[]): Promise<PipelineResult>
  openJph(): Promise<OpenJph>
  /** Forgets what is loaded: memory of a codec that failed once is not to be trusted. */
  reset(): void
}

/** The pixels of one block, as `Decoder` wants them, in the thread that calls. */
export async function decodeImages(
  images: readonly CompressedImage[],
  codecs: Codecs,
): Promise<Frame['pixels']> {
  try {
    if (isHtj2k(images[0]?.transferSyntaxUid ?? '')) return decodeHtj2k(images, await codecs.openJph())
    return await decodeWithItk(images, (files) => codecs.runItk(files))
  } catch (cause) {
    codecs.reset()
    throw cause
  }
}
