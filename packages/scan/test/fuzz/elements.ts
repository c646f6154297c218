// A reader of its own for the checks of the fuzz: nothing of it is shared with the loader.

/** An element of a little endian data set, as it lies in the bytes. */
export interface RawElement {
  readonly tag: string
  readonly start: number
  readonly valueStart: number
  readonly end: number
}

const LONG = new Set(['OB', 'OD', 'OF', 'OL', 'OV', 'OW', 'SQ', 'UC', 'UN', 'UR', 'UT', 'SV', 'UV'])

/**
 * The top-level elements up to the pixels, or null where the bytes do not read to their end without a doubt:
 * an undefined length, a tag out of order or twice, a length beyond the file.
 */
export function elementsOf(bytes: Uint8Array, vr: 'explicit' | 'implicit'): RawElement[] | null {
  if (bytes.length < 140 || text(bytes, 128, 132) !== 'DICM') return null
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const elements: RawElement[] = []
  let last = -1
  for (let at = 132; at < bytes.length; ) {
    if (at + 8 > bytes.length) return null
    const group = view.getUint16(at, true)
    const order = group * 65536 + view.getUint16(at + 2, true)
    if (order <= last) return null
    last = order
    const explicit = group === 2 || vr === 'explicit'
    const long = explicit && LONG.has(text(bytes, at + 4, at + 6))
    if (explicit && !/^[A-Z]{2}$/.test(text(bytes, at + 4, at + 6))) return null
    if (long && at + 12 > bytes.length) return null
    const valueStart = at + (long ? 12 : 8)
    const length = long
      ? view.getUint32(at + 8, true)
      : explicit
        ? view.getUint16(at + 6, true)
        : view.getUint32(at + 4, true)
    const end = valueStart + length
    if (length === 0xffffffff || end > bytes.length) return null
    const tag = order.toString(16).padStart(8, '0')
    elements.push({ tag, start: at, valueStart, end })
    if (tag === '7fe00010') return elements
    at = end
  }
  return null
}

export const text = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, to))

/** The numbers of an element of decimal strings, null where it is not there or not just numbers. */
export function numbersOf(bytes: Uint8Array, elements: readonly RawElement[], tag: string): number[] | null {
  const element = elements.find((e) => e.tag === tag)
  if (!element) return null
  const parts = text(bytes, element.valueStart, element.end).replaceAll('\0', '').trim().split('\\')
  const numbers = parts.map((p) => (p.trim() === '' ? Number.NaN : Number(p)))
  return numbers.every(Number.isFinite) ? numbers : null
}

export const stringOf = (bytes: Uint8Array, elements: readonly RawElement[], tag: string): string => {
  const element = elements.find((e) => e.tag === tag)
  return element ? text(bytes, element.valueStart, element.end).replaceAll('\0', '').trim() : ''
}
