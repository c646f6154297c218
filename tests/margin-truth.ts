import { type BoneModel, fastMargin, fixtureFrame, fixtureProfile, type Plan } from '@alveometer/core'

/** Exact margins of one fixture, worked out on the analytic anatomy. */
export interface FixtureTruth {
  readonly depthsMm: readonly number[]
  readonly anglesDeg: readonly number[]
  readonly radialMarginMm: readonly (readonly (number | null)[])[]
  readonly minimum: { readonly marginMm: number }
}

export interface Comparison {
  readonly medianMm: number
  /** 95 % of the rays are nearer to the truth than this. */
  readonly p95Mm: number
  readonly rays: number
  /** Rays with a true margin for which nothing was measured. */
  readonly lost: number
  readonly leastMm: number
  readonly uncertaintyMm: number
}

/** Measured minus true radial margins, over rays whose true margin is below 7 mm (the march looks 10 mm far from the axis). */
export function compareMargins(model: BoneModel, plan: Plan, truth: FixtureTruth): Comparison {
  const margin = fastMargin(
    model,
    fixtureFrame(plan.fixture, plan.site.facial),
    fixtureProfile(plan.fixture.shape),
    { depthsMm: truth.depthsMm, anglesDeg: truth.anglesDeg },
  )
  const errors: number[] = []
  let lost = 0
  truth.radialMarginMm.forEach((row, r) => {
    row.forEach((value, c) => {
      if (value === null || value > 7) return
      const ours = margin.radialMm[r * truth.anglesDeg.length + c]
      if (Number.isNaN(ours)) lost++
      else errors.push(ours - value)
    })
  })
  const sorted = [...errors].sort((a, b) => a - b)
  const absolute = errors.map(Math.abs).sort((a, b) => a - b)
  return {
    medianMm: sorted[Math.floor(sorted.length / 2)],
    p95Mm: absolute[Math.floor(0.95 * absolute.length)],
    rays: errors.length,
    lost,
    leastMm: margin.minimum?.radialMm ?? Number.NaN,
    uncertaintyMm: margin.uncertaintyMm,
  }
}
