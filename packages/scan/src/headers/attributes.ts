import type { DataSet } from 'dicom-parser'
import type { BadValue } from './header.js'

// DICOM PS3.5 6.2: DS is a fixed or floating point number with "." as the only decimal sign.
const DECIMAL = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/

/** Reads attributes of a data set as text and numbers. */
export interface AttributeReader {
  text(tag: string): string
  /** Null when absent or empty, and when it is not `howMany` numbers (then listed among the bad values). */
  decimals(tag: string, attribute: string, howMany: number): readonly number[] | null
  unsigned(tag: string): number | null
  signed(tag: string): number | null
  has(tag: string): boolean
}

/** @param badValues where every value that is not what it should be is added. */
export function attributesOf(data: DataSet, badValues: BadValue[]): AttributeReader {
  const text = (tag: string) => (data.string(tag) ?? '').replaceAll('\0', '').trim()
  const integer = (tag: string, read: 'uint16' | 'int16') => {
    const element = data.elements[tag]
    return element && element.length >= 2 ? (data[read](tag) ?? null) : null
  }
  return {
    text,
    decimals(tag, attribute, howMany) {
      const all = text(tag)
      if (all === '') return null
      const parts = all.split('\\').map((part) => part.trim())
      const values = parts.map((part) => (DECIMAL.test(part) ? Number(part) : Number.NaN))
      if (parts.length === howMany && values.every(Number.isFinite)) return values
      badValues.push({ attribute, text: all })
      return null
    },
    unsigned: (tag) => integer(tag, 'uint16'),
    signed: (tag) => integer(tag, 'int16'),
    has: (tag) => data.elements[tag] !== undefined,
  }
}
