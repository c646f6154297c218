import { readText } from './read-text.js'

/** The groups of a Person Name as written, `^` between family, given and middle name, prefix and suffix (PS3.5 6.2.1). */
export interface PersonName {
  readonly alphabetic: string
  readonly ideographic: string
  readonly phonetic: string
}

/**
 * The first value of a Person Name. Empty groups where there is no name.
 * @param bytesAsText the bytes of the file, one character each.
 * @param characterSet all values of Specific Character Set, `\` between them; empty where it is absent.
 * @returns null when the bytes cannot be decoded.
 */
export function decodeName(bytesAsText: string, characterSet: string): PersonName | null {
  const text = readText(bytesAsText, characterSet, 'PN')
  if (text === null) return null
  // Only now: half of a two-byte character may look like a delimiter.
  const [first = ''] = text.split('\\', 1)
  const [alphabetic = '', ideographic = '', phonetic = ''] = first.split('=').map((group) => group.trim())
  return { alphabetic, ideographic, phonetic }
}

/** For the screen: "Yamada, Tarou (山田 太郎)". Says so when the name cannot be decoded; empty when there is none. */
export function displayName(name: PersonName | null): string {
  if (!name) return 'undecodable name'
  const alphabetic = inWords(name.alphabetic, ', ')
  const other = inWords(name.ideographic, ' ') || inWords(name.phonetic, ' ')
  return alphabetic && other ? `${alphabetic} (${other})` : alphabetic || other
}

/** Family name first; prefix, given and middle name follow in the order they are spoken, the suffix ends it. */
function inWords(group: string, separator: string): string {
  const [family = '', given = '', middle = '', prefix = '', suffix = ''] = group
    .split('^')
    .map((part) => part.replace(/\s+/g, ' ').trim())
  const called = [prefix, given, middle].filter(Boolean).join(' ')
  return [family, called, suffix].filter(Boolean).join(separator)
}
