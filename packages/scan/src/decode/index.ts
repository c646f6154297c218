export type { CompressedImage, Decoder } from './decoder.js'
export { readFrame } from './read-frame.js'
