import type { Keyword } from './dictionary.js'

/** How the end of a sequence and of its items is found: by their lengths, or by delimiters (PS3.5 section 7.5). */
export type Lengths = 'explicit' | 'undefined'

/** An element whose VR, or whose very bytes, the writer must not choose by itself. */
export interface RawElement {
  readonly vr: string
  readonly value: PlainValue
  /** For a sequence, and for items under VR UN; default that of the whole data set. */
  readonly lengths?: Lengths
}

/** Compressed pixel data. Without offsets the offset table is there and empty. */
export interface Encapsulated {
  readonly fragments: readonly Uint8Array[]
  readonly offsets?: readonly number[]
}

export type PlainValue =
  | string
  | number
  | null
  | readonly (string | number)[]
  | Uint8Array
  | readonly Dataset[]

/** `null` and '' write an empty element; `undefined` leaves the element out. */
export type ElementValue = PlainValue | RawElement | Encapsulated | undefined

/** Elements by keyword, or by 8 hexadecimal digits for anything the dictionary lacks. */
export type Dataset = { readonly [key in Keyword]?: ElementValue } & { readonly [tag: string]: ElementValue }

export const isRaw = (v: ElementValue): v is RawElement => typeof v === 'object' && v !== null && 'vr' in v

export const isEncapsulated = (v: ElementValue): v is Encapsulated =>
  typeof v === 'object' && v !== null && 'fragments' in v

/**
 * A number as a Decimal String: at most 16 bytes (PS3.5 section 6.2), as many digits as fit.
 * @throws RangeError when it is not finite.
 */
export function decimalString(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be written as a decimal string`)
  const plain = String(value === 0 ? 0 : value)
  if (plain.length <= 16) return plain
  for (let digits = 16; digits > 0; digits--) {
    const short = String(Number(value.toPrecision(digits)))
    if (short.length <= 16) return short
  }
  return value.toExponential(8)
}
