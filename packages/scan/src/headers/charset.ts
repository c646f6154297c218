import { readText, type TextVr } from './text/index.js'

export type { PersonName, TextVr } from './text/index.js'
export { decodeName, displayName, encodedText, readText } from './text/index.js'

/**
 * Text whose characters are the bytes of the file, decoded by the declared character sets (PS3.3 C.12.1.1.2). Empty
 * where a set is not known or the bytes do not belong to it; `readText` tells that apart from no text.
 */
export const decodeText = (bytesAsText: string, characterSet: string, vr?: TextVr): string =>
  readText(bytesAsText, characterSet, vr) ?? ''
