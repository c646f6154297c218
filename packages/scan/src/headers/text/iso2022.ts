import { ESCAPES, type Halves } from './code-tables.js'

export const ESC = 0x1b

/**
 * Text with code extension (PS3.5 6.1.2.5): escape sequences change what the lower or the upper half of a byte stands
 * for. Null when a byte means nothing in the sets that are active.
 * @param initial active at the start, after every control character and after every delimiter (PS3.5 6.1.2.5.3).
 * @param delimiters characters that part values, components or groups.
 */
export function readIso2022(bytes: Uint8Array, initial: Halves, delimiters: string): string | null {
  let text = ''
  let active = initial
  for (let at = 0; at < bytes.length; ) {
    const byte = bytes[at] as number
    if (byte === ESC) {
      const sequence = sequenceAt(bytes, at + 1)
      if (!sequence) return null
      active = { ...active, ...sequence.change }
      at += 1 + sequence.length
      continue
    }
    const plain = plainCharacter(byte, active, delimiters)
    if (plain) {
      text += plain.character
      if (plain.resets) active = initial
      at += 1
      continue
    }
    const graphic = graphicAt(bytes, at, active)
    if (!graphic) return null
    text += graphic.character
    at += graphic.size
  }
  return text
}

/** What stands behind ESC: two characters or three. */
function sequenceAt(bytes: Uint8Array, at: number): { change: Partial<Halves>; length: number } | null {
  for (const length of [2, 3]) {
    const change = ESCAPES.get(String.fromCharCode(...bytes.subarray(at, at + length)))
    if (change) return { change, length }
  }
  return null
}

/** Control characters and the space are the same in every set; a delimiter is one unless it is half of a pair. */
function plainCharacter(byte: number, { g0 }: Halves, delimiters: string) {
  const character = String.fromCharCode(byte)
  const resets = byte < 0x20 || (g0.size === 1 && delimiters.includes(character))
  return resets || byte === 0x20 ? { character, resets } : null
}

function graphicAt(bytes: Uint8Array, at: number, { g0, g1 }: Halves) {
  const upper = (bytes[at] as number) >= 0x80
  const table = upper ? g1 : g0
  if (!table) return null
  const codes = Array.from(bytes.subarray(at, at + table.size))
  // 0x80 to 0x9f are control characters that DICOM has no use for.
  const lowest = upper ? 0xa0 : 0x20
  const inHalf = codes.every((code) => code >= lowest && code < lowest + 0x60)
  if (!inHalf || codes.length < table.size) return null
  const character = table.character(codes.map((code) => code & 0x7f))
  return character === null ? null : { character, size: table.size }
}
