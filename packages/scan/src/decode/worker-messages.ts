import type { Frame } from '../grey/index.js'
import type { CodecAddresses } from './browser-codecs.js'
import type { CompressedImage } from './decoder.js'

/** What a decode worker of a browser is told: once where its codecs are, then blocks. */
export type DecodeRequest =
  | { readonly kind: 'codecs'; readonly addresses: CodecAddresses }
  | { readonly kind: 'block'; readonly images: readonly CompressedImage[] }

/** What a decode worker says: once that it runs, then one answer for each block. */
export type DecodeReply =
  | { readonly kind: 'ready' }
  | { readonly kind: 'pixels'; readonly pixels: Frame['pixels'] }
  | { readonly kind: 'failed' | 'no-codec'; readonly message: string }
