import { normalCdf, normalDensity } from './normal.js'

/**
 * A cortical plate seen along its normal through a Gaussian blur: marrow, cortex, outside, with edges at
 * `outerMm - thicknessMm` and `outerMm`. Positions grow outwards.
 * m(x) = inner + (cortex - inner) Phi((x - outer + t)/s) + (outside - cortex) Phi((x - outer)/s)
 */
export interface PlateModel {
  readonly outerMm: number
  readonly thicknessMm: number
  readonly innerGrey: number
  readonly outsideGrey: number
  readonly cortexGrey: number
  readonly sigmaMm: number
}

/** What is believed before looking: value and standard deviation for each parameter; an sd of 0 holds it fixed. */
export type PlatePrior = Readonly<Record<keyof PlateModel, { readonly value: number; readonly sd: number }>>

export interface PlateFit extends PlateModel {
  /** Half the sum of squared, weighted residuals, priors included. */
  readonly cost: number
}

const NAMES = ['outerMm', 'thicknessMm', 'innerGrey', 'outsideGrey', 'cortexGrey', 'sigmaMm'] as const
const LEAST_THICKNESS = 0.02
const GREATEST_THICKNESS = 3.5
const LEAST_SIGMA = 0.03

/** Grey value of the model at a position, mm. */
export function plateGrey(model: PlateModel, xMm: number): number {
  const outer = (xMm - model.outerMm) / model.sigmaMm
  const inner = (xMm - model.outerMm + model.thicknessMm) / model.sigmaMm
  return (
    model.innerGrey +
    (model.cortexGrey - model.innerGrey) * normalCdf(inner) +
    (model.outsideGrey - model.cortexGrey) * normalCdf(outer)
  )
}

/**
 * The plate that fits a profile best, by Levenberg and Marquardt with Gaussian priors, from several starting
 * thicknesses; the lowest cost wins. Samples of weight 0 are left out.
 * Positions in mm along the outward normal; `noiseSd` is the noise of the profile's samples, grey.
 */
export function fitPlate(
  positionsMm: ArrayLike<number>,
  greys: ArrayLike<number>,
  weights: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
  startsMm: readonly number[] = [0.3, 0.8, 1.8],
): PlateFit {
  let best: PlateFit | null = null
  for (const start of startsMm) {
    const fit = descend(positionsMm, greys, weights, noiseSd, prior, start)
    if (best === null || fit.cost < best.cost) best = fit
  }
  if (best === null) throw new RangeError('fitPlate needs at least one starting thickness')
  return best
}

function descend(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  w: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
  startMm: number,
): PlateFit {
  const free = NAMES.filter((name) => prior[name].sd > 0)
  let p = Float64Array.from(NAMES, (name) => prior[name].value)
  p[1] = prior.thicknessMm.sd > 0 ? startMm : prior.thicknessMm.value
  let cost = costOf(x, y, w, noiseSd, prior, p)
  let damping = 1e-3
  for (let turn = 0; turn < 40; turn++) {
    const { hessian, gradient } = normalEquations(x, y, w, noiseSd, prior, free, p)
    let improved = false
    for (let attempt = 0; attempt < 8; attempt++) {
      const step = solveDamped(hessian, gradient, damping)
      const next = Float64Array.from(p)
      free.forEach((name, n) => {
        const at = NAMES.indexOf(name)
        next[at] = next[at] - step[n]
      })
      next[1] = Math.min(GREATEST_THICKNESS, Math.max(LEAST_THICKNESS, next[1]))
      next[5] = Math.max(LEAST_SIGMA, next[5])
      const nextCost = costOf(x, y, w, noiseSd, prior, next)
      if (nextCost < cost) {
        improved = cost - nextCost > 1e-6 * (1 + cost)
        p = next
        cost = nextCost
        damping = Math.max(1e-9, damping / 5)
        break
      }
      damping *= 5
    }
    if (!improved) break
  }
  return { ...toModel(p), cost }
}

const toModel = (p: Float64Array): PlateModel => ({
  outerMm: p[0],
  thicknessMm: p[1],
  innerGrey: p[2],
  outsideGrey: p[3],
  cortexGrey: p[4],
  sigmaMm: p[5],
})

function costOf(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  w: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
  p: Float64Array,
): number {
  const model = toModel(p)
  let sum = 0
  for (let n = 0; n < x.length; n++) {
    const weight = w[n]
    if (weight === 0) continue
    const residual = (y[n] - plateGrey(model, x[n])) / noiseSd
    sum += weight * residual * residual
  }
  NAMES.forEach((name, at) => {
    const { value, sd } = prior[name]
    if (sd > 0 && Number.isFinite(sd)) sum += ((p[at] - value) / sd) ** 2
  })
  return sum / 2
}

function normalEquations(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  w: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
  free: readonly (keyof PlateModel)[],
  p: Float64Array,
): { hessian: Float64Array; gradient: Float64Array } {
  const model = toModel(p)
  const size = free.length
  const hessian = new Float64Array(size * size)
  const gradient = new Float64Array(size)
  const all = new Float64Array(6)
  const slots = free.map((name) => NAMES.indexOf(name))
  const s = model.sigmaMm
  for (let n = 0; n < x.length; n++) {
    const weight = w[n]
    if (weight === 0) continue
    const a = (x[n] - model.outerMm + model.thicknessMm) / s
    const b = (x[n] - model.outerMm) / s
    const inside = normalCdf(a)
    const outside = normalCdf(b)
    const rise = ((model.cortexGrey - model.innerGrey) * normalDensity(a)) / s
    const fall = ((model.outsideGrey - model.cortexGrey) * normalDensity(b)) / s
    all[0] = -rise - fall
    all[1] = rise
    all[2] = 1 - inside
    all[3] = outside
    all[4] = inside - outside
    all[5] = -rise * a - fall * b
    const value =
      model.innerGrey +
      (model.cortexGrey - model.innerGrey) * inside +
      (model.outsideGrey - model.cortexGrey) * outside
    const scaled = weight / (noiseSd * noiseSd)
    const residual = value - y[n]
    for (let r = 0; r < size; r++) {
      const jr = all[slots[r]]
      gradient[r] = gradient[r] + scaled * jr * residual
      for (let c = 0; c <= r; c++) hessian[r * size + c] = hessian[r * size + c] + scaled * jr * all[slots[c]]
    }
  }
  free.forEach((name, r) => {
    const { value, sd } = prior[name]
    if (Number.isFinite(sd)) {
      gradient[r] = gradient[r] + (p[slots[r]] - value) / (sd * sd)
      hessian[r * size + r] = hessian[r * size + r] + 1 / (sd * sd)
    }
  })
  return { hessian, gradient }
}

/** Solves (H + damping diag H) step = gradient by Cholesky; H holds its lower triangle. */
function solveDamped(hessian: Float64Array, gradient: Float64Array, damping: number): Float64Array {
  const n = gradient.length
  const l = new Float64Array(n * n)
  const at = (m: Float64Array, r: number, c: number) => m[r * n + c]
  for (let r = 0; r < n; r++)
    for (let c = 0; c <= r; c++) {
      let sum = r === c ? at(hessian, r, r) * (1 + damping) + 1e-12 : at(hessian, r, c)
      for (let k = 0; k < c; k++) sum -= at(l, r, k) * at(l, c, k)
      l[r * n + c] = r === c ? Math.sqrt(Math.max(sum, 1e-12)) : sum / at(l, c, c)
    }
  const step = Float64Array.from(gradient)
  for (let r = 0; r < n; r++) {
    for (let k = 0; k < r; k++) step[r] = step[r] - at(l, r, k) * step[k]
    step[r] = step[r] / at(l, r, r)
  }
  for (let r = n - 1; r >= 0; r--) {
    for (let k = r + 1; k < n; k++) step[r] = step[r] - at(l, k, r) * step[k]
    step[r] = step[r] / at(l, r, r)
  }
  return step
}
