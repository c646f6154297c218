/**
 * The one place where numbers become text: a true minus sign, a fixed number of digits, the half width of the
 * 95 % interval after the sign, the unit after a narrow space. No line breaks within it.
 */
const number = (value: number, digits: number): string => {
  const text = value.toFixed(digits)
  return Number(text) === 0 ? (0).toFixed(digits) : text.replace('-', '\u2212')
}

/** "1.42 mm" */
export const mm = (value: number, digits = 2): string => `${number(value, digits)}\u202fmm`

/** "1.42 ±0.12", for a place where the unit stands beside. */
export const tolerance = (value: number, uncertainty: number, digits = 2): string =>
  `${number(value, digits)}\u00a0\u00b1${number(uncertainty, digits)}`

/** "1.42 ±0.12 mm" */
export const mmTolerance = (value: number, uncertainty: number): string =>
  `${tolerance(value, uncertainty)}\u202fmm`

export const mm2 = (value: number): string => `${number(value, 1)}\u202fmm\u00b2`

/** "212 mm³", and the same as graft material is sold: "0.21 cc". */
export const mm3 = (value: number): string => `${number(value, 0)}\u202fmm\u00b3`

export const cc = (volumeMm3: number): string => `${number(volumeMm3 / 1000, 2)}\u202fcc`

/** "9.8°" */
export const deg = (value: number, digits = 1): string => `${number(value, digits)}\u00b0`

/** A grey value: whole numbers. The unit stands in the heading. */
export const grey = (value: number): string => number(value, 0)

export const percent = (share: number, digits = 0): string => `${number(100 * share, digits)}\u202f%`

export const plain = number

/** Bytes as people read them: "275 MB", "1.6 GB"; a megabyte is 2^20 bytes. */
export const megabytes = (bytes: number): string => {
  const mb = bytes / 2 ** 20
  return mb < 1000 ? `${number(Math.ceil(mb), 0)}\u202fMB` : `${number(mb / 1024, 1)}\u202fGB`
}

/** "0.300", or "0.300 × 0.300 × 0.500" where the voxels are no cubes. */
export const voxelSize = (spacingMm: readonly number[]): string => {
  const texts = spacingMm.map((s) => number(s, 3))
  return texts.every((t) => t === texts[0]) ? (texts[0] ?? '') : texts.join(' \u00d7 ')
}

/** "1 warning", "2 warnings" */
export const count = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`
