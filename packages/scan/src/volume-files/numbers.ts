const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i

/** A number written in a text header. NaN stays NaN, infinities too; null for anything else, a decimal comma included. */
export function readNumber(text: string): number | null {
  if (NUMBER.test(text)) return Number(text)
  if (/^[+-]?nan$/i.test(text)) return Number.NaN
  if (/^[+-]?inf(inity)?$/i.test(text)) return text.startsWith('-') ? -Infinity : Infinity
  return null
}

/** Numbers between spaces, or between what `separator` says; null when one of them is none. */
export function readNumbers(text: string, separator = /\s+/): number[] | null {
  const numbers = words(text, separator).map(readNumber)
  return numbers.every((n) => n !== null) ? numbers : null
}

/** The words of a line; none in an empty one. */
export const words = (text: string, separator = /\s+/): string[] =>
  text.trim() === '' ? [] : text.trim().split(separator)

export const isWhole = (n: number, least: number): boolean => Number.isSafeInteger(n) && n >= least
