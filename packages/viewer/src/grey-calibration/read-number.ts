/** A typed number: its value, null when nothing was typed, or what is wrong with it. */
export interface NumberReading {
  readonly value: number | null
  readonly problem: string | null
}

/** Thousands in one language, thousandths in another. */
const AMBIGUOUS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/
const NUMBER = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/

/** A number with a decimal point or comma, a hyphen or a minus sign. */
export function readNumber(text: string): NumberReading {
  const plain = text.replace(/\s/g, '').replace('\u2212', '-')
  if (plain === '') return { value: null, problem: null }
  if (AMBIGUOUS.test(plain)) {
    const whole = plain.replace(/[.,]/, '')
    return { value: null, problem: `can be read in two ways: write ${whole} or ${plain.slice(0, -1)}` }
  }
  if (!NUMBER.test(plain)) return { value: null, problem: `is no number: ${text.trim()}` }
  return { value: Number(plain.replace(',', '.')), problem: null }
}
