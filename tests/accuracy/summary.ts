import type { RayErrors } from './ray-errors.js'

/** Errors in a few numbers, mm. */
export interface Summary {
  readonly rays: number
  /** Rays without a number. */
  readonly lost: number
  /** Rays without a number or off by more than 0.5 mm. */
  readonly gross: number
  readonly bias: number
  readonly median: number
  readonly sd: number
  /** 95 % of the rays are nearer to the truth than this. */
  readonly p95: number
}

const GROSS_MM = 0.5

export function summary(errors: readonly number[]): Summary {
  const found = errors.filter(Number.isFinite)
  const bias = mean(found)
  const lost = errors.length - found.length
  return {
    rays: errors.length,
    lost,
    gross: lost + found.filter((e) => Math.abs(e) > GROSS_MM).length,
    bias,
    median: quantile(found, 0.5),
    sd: Math.sqrt(mean(found.map((e) => (e - bias) ** 2))),
    p95: quantile(found.map(Math.abs), 0.95),
  }
}

export const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length

/** The value below which a share of the values lies; NaN for none. */
export function quantile(values: readonly number[], share: number): number {
  if (values.length === 0) return Number.NaN
  const sorted = Float64Array.from(values).sort()
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]
}

/** Share of the rays with a number whose error lies within their own interval; NaN for none. */
export function coverage({ errorMm, halfWidthMm }: RayErrors): number {
  const found = errorMm.flatMap((e, n) => (Number.isFinite(e) ? [Math.abs(e) <= halfWidthMm[n] ? 1 : 0] : []))
  return mean(found)
}

/** The rays that leave through a plate from `fromMm` to below `toMm`. */
export const inBin = (errors: RayErrors, [fromMm, toMm]: readonly [number, number]): RayErrors =>
  kept(errors, (t) => t >= fromMm && t < toMm)

/** Without the rays that leave through a hole or close to one. */
export const awayFromHoles = (errors: RayErrors): RayErrors => kept(errors, (t) => t !== 0)

function kept(errors: RayErrors, belongs: (thicknessMm: number) => boolean): RayErrors {
  const keep = errors.thicknessMm.map(belongs)
  const of = (column: readonly number[]) => column.filter((_, n) => keep[n])
  return {
    errorMm: of(errors.errorMm),
    halfWidthMm: of(errors.halfWidthMm),
    thicknessMm: of(errors.thicknessMm),
    plateErrorMm: of(errors.plateErrorMm),
  }
}

/** The rays of several scans together. */
export const pooled = (all: readonly RayErrors[]): RayErrors => ({
  errorMm: all.flatMap((e) => e.errorMm),
  halfWidthMm: all.flatMap((e) => e.halfWidthMm),
  thicknessMm: all.flatMap((e) => e.thicknessMm),
  plateErrorMm: all.flatMap((e) => e.plateErrorMm),
})
