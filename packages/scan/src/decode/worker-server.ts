import { type Codecs, decodeImages } from './codecs.js'
import type { CompressedImage } from './decoder.js'
import { CodecMissing } from './failures.js'
import type { DecodeReply } from './worker-messages.js'

/** A worker's answer to one block, and what of it can be handed over instead of copied. */
export async function answerBlock(
  images: readonly CompressedImage[],
  codecs: Codecs,
): Promise<{ reply: DecodeReply; transfer: ArrayBuffer[] }> {
  try {
    const pixels = await decodeImages(images, codecs)
    // Shared memory is not transferred: both sides see it.
    const transfer = pixels.buffer instanceof ArrayBuffer ? [pixels.buffer] : []
    return { reply: { kind: 'pixels', pixels }, transfer }
  } catch (cause) {
    const kind = cause instanceof CodecMissing ? 'no-codec' : 'failed'
    // WebAssembly throws bare numbers too: what they say is of use to nobody, but the block has failed.
    const message = cause instanceof Error ? cause.message : `exception ${cause}`
    return { reply: { kind, message }, transfer: [] }
  }
}
