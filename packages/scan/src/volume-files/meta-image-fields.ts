import { damaged } from './findings.js'

/** The lines "key = value" of a MetaImage header, which the line of its data file ends. */
export interface MetaFields {
  /** The value of the first of these keys; they are names of one thing. */
  readonly get: (...keys: string[]) => string | undefined
  /** The same for True and False. */
  readonly flag: (...keys: string[]) => boolean | undefined
  /** Names after `ElementDataFile = LIST`, one a line. */
  readonly listed: readonly string[]
  /** Where what follows the header begins; -1 when it does not end. */
  readonly end: number
}

/** The keys that are looked at; all others may hold anything. */
const KEYS: readonly string[] = [
  'ObjectType',
  'NDims',
  'DimSize',
  'BinaryData',
  'BinaryDataByteOrderMSB',
  'ElementByteOrderMSB',
  'CompressedData',
  'CompressedDataSize',
  'TransformMatrix',
  'Rotation',
  'Orientation',
  'Offset',
  'Position',
  'Origin',
  'DistanceUnits',
  'ElementSpacing',
  'ElementType',
  'ElementNumberOfChannels',
  'ElementToIntensityFunctionSlope',
  'ElementToIntensityFunctionOffset',
  'HeaderSize',
  'ElementDataFile',
]

/** The key that ends a header. */
const LAST = /^[ \t]*ElementDataFile[ \t]*[=:][^\n]*(\n|$)/m

/** Whether nothing of the header, the list of its files included, can come after this text. */
export const hasMetaEnd = (text: string): boolean => {
  const last = LAST.exec(text)
  return last !== null && !IS_LIST.test(last[0])
}

const IS_LIST = /[=:]\s*LIST\b/

/** @throws FindingError `volume-file-damaged` where two lines contradict each other */
export function readMetaFields(file: string, text: string): MetaFields {
  const last = LAST.exec(text)
  const end = last ? last.index + last[0].length : -1
  const fields = new Map<string, string>()
  for (const line of text.slice(0, end < 0 ? undefined : end).split('\n')) {
    const mark = line.search(/[=:]/)
    if (mark < 1) continue
    const key = line.slice(0, mark).trim()
    const value = line.slice(mark + 1).trim()
    if (!KEYS.includes(key)) continue
    if ((fields.get(key) ?? value) !== value) throw damaged(file, `its header gives "${key}" twice`)
    fields.set(key, value)
  }
  const get = (...keys: string[]) => {
    const values = keys.map((key) => fields.get(key)).filter((value) => value !== undefined)
    if (new Set(values.map(plain)).size > 1)
      throw damaged(file, `"${keys.filter((key) => fields.has(key)).join('" and "')}" contradict each other`)
    return values[0]
  }
  const flag = (...keys: string[]) => {
    const value = get(...keys)
    return value === undefined ? undefined : /^(true|t|1)/i.test(value)
  }
  const isList = IS_LIST.test(last?.[0] ?? '')
  const listed = isList
    ? text
        .slice(end)
        .split('\n')
        .map((line) => line.trim())
    : []
  return { get, flag, listed: listed.filter((name) => name !== ''), end }
}

/** The same for two ways of writing the same words or numbers. */
const plain = (value: string) =>
  value
    .split(/\s+/)
    .map((word) => (Number.isNaN(Number(word)) ? word.toLowerCase() : Number(word)))
    .join(' ')
