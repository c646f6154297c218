import { LATIN_1, LATIN_5 } from './code-tables.js'
import { type DeclaredSets, declaredSets } from './declared.js'
import { decodeBytes } from './decoders.js'
import { ESC, readIso2022 } from './iso2022.js'

/** Value representations whose characters follow Specific Character Set (PS3.5 6.2). */
export type TextVr = 'PN' | 'LO' | 'SH' | 'UC' | 'ST' | 'LT' | 'UT'

const DELIMITERS: Readonly<Record<TextVr, string>> = {
  PN: '\\^=',
  LO: '\\',
  SH: '\\',
  UC: '\\',
  ST: '',
  LT: '',
  UT: '',
}

/**
 * The text of an element, without the spaces and zeros that pad it. A file that keeps to its declared sets is read by
 * them and by nothing else; UTF-8 is read where the bytes cannot be what is declared.
 * @param bytesAsText the bytes of the file, one character each; up to the first zero.
 * @param characterSet all values of Specific Character Set, `\` between them; empty where it is absent.
 * @returns null when the declared sets are not known or the bytes do not belong to them: no text is better than a
 * wrong one.
 */
export function readText(bytesAsText: string, characterSet: string, vr: TextVr = 'LO'): string | null {
  const declared = declaredSets(characterSet)
  if (!declared) return null
  const [characters = ''] = bytesAsText.split('\0', 1)
  const bytes = Uint8Array.from(characters, (c) => c.charCodeAt(0))
  const text = declared.whole ? readWhole(bytes, declared.whole) : readSets(bytes, declared, DELIMITERS[vr])
  if (text === null || FORBIDDEN.test(text)) return null
  return DELIMITERS[vr] === '' ? text.replace(/ +$/, '') : text.replace(/^ +| +$/g, '')
}

/** Control characters other than those of PS3.5 6.1.3. */
const FORBIDDEN = /[^\P{Cc}\t\n\f\r]/u

const readWhole = (bytes: Uint8Array, label: string): string | null =>
  decodeBytes(label, bytes) ?? multiByteUtf8(bytes)

function readSets(bytes: Uint8Array, declared: DeclaredSets, delimiters: string): string | null {
  const { initial, onlyUpper } = declared
  const escaped = bytes.includes(ESC)
  const utf8 = escaped ? null : multiByteUtf8(bytes)
  // As Latin-1 or Latin-5, UTF-8 is capitals each followed by a sign such as "Ã¤": nobody writes that.
  if (utf8 !== null && (initial.g1 === LATIN_1 || initial.g1 === LATIN_5)) return utf8
  const text = readIso2022(bytes, initial, delimiters)
  if (text !== null) return initial.g1 === LATIN_1 && !escaped && hasForeignWord(text) ? null : text
  if (utf8 !== null) return utf8
  // Some writers leave out the escape where only one set can be meant.
  return onlyUpper && readIso2022(bytes, { ...initial, g1: onlyUpper }, delimiters)
}

/** Null for plain ASCII as well: it proves nothing. */
function multiByteUtf8(bytes: Uint8Array): string | null {
  return bytes.some((byte) => byte >= 0x80) ? decodeBytes('utf-8', bytes) : null
}

/**
 * Latin-1 is what many writers declare by default, whatever the bytes are. In the languages it serves no word of three
 * letters does without the basic alphabet; Chinese, Cyrillic or Greek bytes read as Latin-1 hardly do with it.
 */
const hasForeignWord = (text: string): boolean =>
  (text.match(/[A-Za-z\u00a1-\u00ff]+/g) ?? []).some((word) => word.length >= 3 && !/[A-Za-z]/.test(word))
