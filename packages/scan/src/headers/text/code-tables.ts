import { decodeBytes } from './decoders.js'

/** One coded character set of ISO 2022: codes of 7 bits to characters, whichever half of the byte holds it. */
export interface CodeTable {
  /** Codes to a character. */
  readonly size: 1 | 2
  /** The character of `size` codes, each 0x20 to 0x7f; null where the table has none. */
  character(codes: readonly number[]): string | null
}

/** The table of the lower half (G0), the one of the upper half (G1): how bytes are read at one moment. */
export interface Halves {
  readonly g0: CodeTable
  /** Null while no set is there: then a byte above 0x7f means nothing. */
  readonly g1: CodeTable | null
}

export const ASCII: CodeTable = { size: 1, character: ([code = 0]) => String.fromCharCode(code) }

/** JIS X 0201 Roman (ISO-IR 14) is ASCII but for two characters. */
const ROMAJI: CodeTable = {
  size: 1,
  character: ([code = 0]) => (code === 0x5c ? '¥' : code === 0x7e ? '‾' : String.fromCharCode(code)),
}

/** JIS X 0201 Katakana (ISO-IR 13), half width: 0x21 to 0x5f. */
const KATAKANA: CodeTable = {
  size: 1,
  character: ([code = 0]) =>
    code >= 0x21 && code <= 0x5f ? String.fromCharCode(0xff61 + code - 0x21) : null,
}

/** ISO 8859-1 by hand: the label of that name stands for windows-1252, which has more. */
export const LATIN_1: CodeTable = {
  size: 1,
  character: ([code = 0]) => String.fromCharCode(code | 0x80),
}

const singleByte = (label: string): CodeTable => ({
  size: 1,
  character: ([code = 0]) => assigned(decodeBytes(label, [code | 0x80])),
})

export const LATIN_5 = singleByte('iso-8859-9')

/**
 * A set of 94 x 94 by its EUC encoding, where each byte is the code plus 0x80.
 * @param lastRow rows behind it hold what vendors added, and not every platform has it.
 */
const doubleByte = (label: string, lastRow: number, lead: readonly number[] = []): CodeTable => ({
  size: 2,
  character: ([row = 0, cell = 0]) =>
    isGraphic(row) && isGraphic(cell) && row - 0x20 <= lastRow
      ? assigned(decodeBytes(label, [...lead, row | 0x80, cell | 0x80]))
      : null,
})

const isGraphic = (code: number): boolean => code > 0x20 && code < 0x7f

/** Platforms give characters of private use for codes that the standards leave free. */
const assigned = (text: string | null): string | null =>
  text !== null && /^\P{Co}$/u.test(text) ? text : null

// ISO-IR 58: GB 2312; 87: JIS X 0208; 159: JIS X 0212; 149: KS X 1001.
const GB_2312 = doubleByte('gb18030', 87)
const JIS_X_0208 = doubleByte('euc-jp', 94)
const JIS_X_0212 = doubleByte('euc-jp', 77, [0x8f])
const KS_X_1001 = doubleByte('euc-kr', 93)

/**
 * What a defined term of Specific Character Set puts into the two halves, by its ISO-IR number (PS3.3 tables C.12-2,
 * C.12-3 and C.12-4). Sets that are only reached by an escape into G0 leave ASCII there at first.
 */
export const HALVES: ReadonlyMap<number, Halves> = new Map([
  [6, { g0: ASCII, g1: null }],
  [13, { g0: ROMAJI, g1: KATAKANA }],
  [58, { g0: ASCII, g1: GB_2312 }],
  [87, { g0: ASCII, g1: null }],
  [100, { g0: ASCII, g1: LATIN_1 }],
  [101, { g0: ASCII, g1: singleByte('iso-8859-2') }],
  [109, { g0: ASCII, g1: singleByte('iso-8859-3') }],
  [110, { g0: ASCII, g1: singleByte('iso-8859-4') }],
  [126, { g0: ASCII, g1: singleByte('iso-8859-7') }],
  [127, { g0: ASCII, g1: singleByte('iso-8859-6') }],
  [138, { g0: ASCII, g1: singleByte('iso-8859-8') }],
  [144, { g0: ASCII, g1: singleByte('iso-8859-5') }],
  [148, { g0: ASCII, g1: LATIN_5 }],
  [149, { g0: ASCII, g1: KS_X_1001 }],
  [159, { g0: ASCII, g1: null }],
  [166, { g0: ASCII, g1: singleByte('windows-874') }],
  [203, { g0: ASCII, g1: singleByte('iso-8859-15') }],
])

const g1 = (number: number): Partial<Halves> => ({ g1: HALVES.get(number)?.g1 ?? null })

/** What an escape sequence changes, by the characters behind ESC (PS3.3 tables C.12-3 and C.12-4). */
export const ESCAPES: ReadonlyMap<string, Partial<Halves>> = new Map([
  ['(B', { g0: ASCII }],
  ['(J', { g0: ROMAJI }],
  [')I', g1(13)],
  ['-A', g1(100)],
  ['-B', g1(101)],
  ['-C', g1(109)],
  ['-D', g1(110)],
  ['-F', g1(126)],
  ['-G', g1(127)],
  ['-H', g1(138)],
  ['-L', g1(144)],
  ['-M', g1(148)],
  ['-T', g1(166)],
  ['-b', g1(203)],
  ['$B', { g0: JIS_X_0208 }],
  ['$(D', { g0: JIS_X_0212 }],
  ['$)A', g1(58)],
  ['$)C', g1(149)],
])
