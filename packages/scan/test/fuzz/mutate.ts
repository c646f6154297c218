import type { NamedBytes, Random } from '@alveometer/phantom'
import { elementsOf, type RawElement } from './elements.js'

export type FileSet = readonly NamedBytes[]

interface Mutation {
  readonly name: string
  readonly apply: (bytes: Uint8Array, random: Random, vr: 'explicit' | 'implicit') => Uint8Array
}

const whole = (random: Random, below: number) => Math.floor(random.uniform() * below)
const pick = <T>(random: Random, list: readonly T[]): T => list[whole(random, list.length)] as T

const splice = (bytes: Uint8Array, from: number, to: number, ...parts: readonly Uint8Array[]): Uint8Array => {
  const all = [bytes.subarray(0, from), ...parts, bytes.subarray(to)]
  const out = new Uint8Array(all.reduce((n, p) => n + p.length, 0))
  let at = 0
  for (const part of all) {
    out.set(part, at)
    at += part.length
  }
  return out
}

const ascii = (value: string) => Uint8Array.from(value, (c) => c.charCodeAt(0))
const HOSTILE = [
  '',
  '0',
  '-1',
  '1',
  '2',
  '65535',
  '1e400',
  'NaN',
  'Infinity',
  '0,3',
  '0.3',
  '0.3\\0.3',
  '1\\0\\0\\0\\1\\0',
  '0\\0\\0.9',
  '-0.3',
  '1.2.840.10008.1.2.4.70',
  '1.2.840.10008.1.2.5',
  'MONOCHROME1',
  'RGB',
  '\\\\\\',
  '\0\0',
  'x'.repeat(200),
]

/** Applies `change` to one element in front of the pixels; the bytes as they are where none can be told. */
const onElement =
  (
    change: (
      bytes: Uint8Array,
      element: RawElement,
      all: readonly RawElement[],
      random: Random,
    ) => Uint8Array,
  ) =>
  (bytes: Uint8Array, random: Random, vr: 'explicit' | 'implicit'): Uint8Array => {
    const all = elementsOf(bytes, vr)
    return all ? change(bytes, pick(random, all), all, random) : bytes
  }

/** Where the length of an element stands, and in how many bytes: 2 or 4, in front of the value. */
const lengthField = (e: RawElement, vr: 'explicit' | 'implicit'): readonly [number, 2 | 4] =>
  e.valueStart - e.start === 12 || (vr === 'implicit' && !e.tag.startsWith('0002'))
    ? [e.valueStart - 4, 4]
    : [e.valueStart - 2, 2]

const MUTATIONS: readonly Mutation[] = [
  {
    name: 'bytes changed',
    apply: (bytes, random) => {
      const out = Uint8Array.from(bytes)
      for (let n = 1 + whole(random, 6); n > 0; n--) out[whole(random, out.length)] = whole(random, 256)
      return out
    },
  },
  {
    name: 'bits of the header flipped',
    apply: (bytes, random) => {
      const out = Uint8Array.from(bytes)
      for (let n = 1 + whole(random, 4); n > 0; n--) {
        const at = 132 + whole(random, 1000)
        if (at < out.length) out[at] = (out[at] as number) ^ (1 << whole(random, 8))
      }
      return out
    },
  },
  { name: 'cut', apply: (bytes, random) => bytes.subarray(0, whole(random, bytes.length)) },
  {
    name: 'front cut off',
    apply: (bytes, random) => bytes.subarray(whole(random, 200)),
  },
  {
    name: 'bytes put in',
    apply: (bytes, random) => {
      const at = whole(random, bytes.length)
      return splice(
        bytes,
        at,
        at,
        Uint8Array.from({ length: 1 + whole(random, 20) }, () => whole(random, 256)),
      )
    },
  },
  { name: 'element removed', apply: onElement((bytes, e) => splice(bytes, e.start, e.end)) },
  {
    name: 'element twice',
    apply: onElement((bytes, e) => splice(bytes, e.end, e.end, bytes.subarray(e.start, e.end))),
  },
  {
    name: 'tags swapped',
    apply: onElement((bytes, e, all, random) => {
      const other = pick(random, all)
      const out = Uint8Array.from(bytes)
      out.set(bytes.subarray(other.start, other.start + 4), e.start)
      out.set(bytes.subarray(e.start, e.start + 4), other.start)
      return out
    }),
  },
  {
    name: 'elements swapped',
    apply: onElement((bytes, e, all, random) => {
      const other = pick(random, all)
      const [a, b] = e.start < other.start ? [e, other] : [other, e]
      if (a === b) return bytes
      return splice(
        bytes,
        a.start,
        b.end,
        bytes.subarray(b.start, b.end),
        bytes.subarray(a.end, b.start),
        bytes.subarray(a.start, a.end),
      )
    }),
  },
  {
    name: 'length changed',
    apply: (bytes, random, vr) => {
      const all = elementsOf(bytes, vr)
      if (!all) return bytes
      const e = pick(random, all)
      const [at, size] = lengthField(e, vr)
      const out = Uint8Array.from(bytes)
      const view = new DataView(out.buffer)
      const length = e.end - e.valueStart
      const value = pick(random, [
        0,
        1,
        length - 1,
        length + 1,
        length - 2,
        length + 2,
        2 * length,
        0xfffe,
        0xffff,
        0xffffffff,
      ])
      if (size === 2) view.setUint16(at, value & 0xffff, true)
      else view.setUint32(at, value >>> 0, true)
      return out
    },
  },
  {
    name: 'VR changed',
    apply: onElement((bytes, e, _, random) => {
      const out = Uint8Array.from(bytes)
      out.set(ascii(pick(random, ['US', 'SS', 'DS', 'IS', 'SQ', 'UN', 'OB', 'FD', 'LO', '??'])), e.start + 4)
      return out
    }),
  },
  {
    name: 'value replaced',
    apply: (bytes, random, vr) => {
      const all = elementsOf(bytes, vr)
      if (!all) return bytes
      const e = pick(random, all)
      const value = ascii(pick(random, HOSTILE))
      const even = value.length % 2 ? splice(value, value.length, value.length, ascii(' ')) : value
      const out = splice(bytes, e.valueStart, e.end, even)
      const [at, size] = lengthField(e, vr)
      const view = new DataView(out.buffer)
      if (size === 2) view.setUint16(at, even.length, true)
      else view.setUint32(at, even.length, true)
      return out
    },
  },
]

/** A set of files hurt in one or more ways, and what was done, in words. */
export function mutate(
  files: FileSet,
  random: Random,
  vr: 'explicit' | 'implicit',
): { readonly files: FileSet; readonly how: string } {
  const how: string[] = []
  let out = [...files]
  for (let n = 1 + whole(random, 2); n > 0; n--) {
    const mutation = pick(random, MUTATIONS)
    const everywhere = random.uniform() < 0.3
    const at = whole(random, out.length)
    how.push(`${mutation.name} in ${everywhere ? 'all' : out[at]?.name}`)
    out = out.map((f, i) =>
      everywhere || i === at ? { ...f, bytes: mutation.apply(f.bytes, random, vr) } : f,
    )
  }
  const pack = random.uniform()
  const at = whole(random, out.length)
  if (pack < 0.06 && out.length > 2) {
    how.push(`${out[at]?.name} left out`)
    out.splice(at, 1)
  } else if (pack < 0.12) {
    how.push(`${out[at]?.name} twice`)
    out.push({ name: `again-${out[at]?.name}`, bytes: (out[at] as NamedBytes).bytes })
  } else if (pack < 0.2) {
    how.push('order turned round')
    out.reverse()
  }
  return { files: out, how: how.join(', ') }
}
