/**
 * Text as bytes hold it: keywords and numbers are ASCII in every mesh format, anything else stands in names and
 * comments only.
 */
export function plainText(bytes: Uint8Array, start: number, end: number): string {
  if (end - start <= 4096) return String.fromCharCode(...bytes.subarray(start, end))
  const parts: string[] = []
  for (let at = start; at < end; at += 4096) parts.push(plainText(bytes, at, Math.min(end, at + 4096)))
  return parts.join('')
}

const LF = 10
const CR = 13
const isBlank = (byte: number): boolean => byte === 32 || (byte >= 9 && byte <= 13)

/** Text files may begin with the mark that says UTF-8; it is not part of the first word. */
export const afterMark = (bytes: Uint8Array): number =>
  bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0

/** Calls `visit` with every line (ended by LF, CR LF or CR, which are left out) and its number from 1. */
export function eachLine(bytes: Uint8Array, visit: (line: string, number: number) => void): void {
  let number = 0
  let start = afterMark(bytes)
  for (let at = start; at <= bytes.length; at++) {
    if (at < bytes.length && bytes[at] !== LF && bytes[at] !== CR) continue
    if (at === bytes.length && at === start) break
    visit(plainText(bytes, start, at), ++number)
    if (bytes[at] === CR && bytes[at + 1] === LF) at++
    start = at + 1
  }
}

/** The words of a text, one after the other. */
export interface Words {
  /** The next word, or undefined at the end. */
  next(): string | undefined
  /** Leaves out what remains of the line. */
  skipLine(): void
  /** The number of the line of the last word. */
  line(): number
}

/** The words from byte `start` on, where line `firstLine` begins. */
export function createWords(bytes: Uint8Array, start = afterMark(bytes), firstLine = 1): Words {
  let at = start
  let line = firstLine
  const isEnd = (i: number): boolean => bytes[i] === LF || (bytes[i] === CR && bytes[i + 1] !== LF)
  return {
    next() {
      while (at < bytes.length && isBlank(bytes[at])) if (isEnd(at++)) line++
      if (at === bytes.length) return undefined
      const from = at
      while (at < bytes.length && !isBlank(bytes[at])) at++
      return plainText(bytes, from, at)
    },
    skipLine() {
      while (at < bytes.length && !isEnd(at)) at++
    },
    line: () => line,
  }
}
