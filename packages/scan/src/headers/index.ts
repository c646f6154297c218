export { decodeName, decodeText, displayName } from './charset.js'
export { checkImages, checkValues } from './check.js'
export type {
  BadValue,
  ClaimedStep,
  PatientBytes,
  PixelLayout,
  PixelPlace,
  SliceHeader,
} from './header.js'
export { isLocalizer } from './header.js'
export type { HeaderResult } from './read.js'
export { readHeader } from './read.js'
export type { PixelCoding } from './syntax.js'
export { describeSyntax, isHtj2k, pixelCoding } from './syntax.js'
