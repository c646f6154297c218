import { quickCdf, quickDensity } from './normal.js'

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

/** Parameters in the order of all arrays here. */
export const PLATE_PARAMETERS = [
  'outerMm',
  'thicknessMm',
  'innerGrey',
  'outsideGrey',
  'cortexGrey',
  'sigmaMm',
] as const
const COUNT = PLATE_PARAMETERS.length
const OUTER = 0
const THICKNESS = 1
const INNER = 2
const OUTSIDE = 3
const CORTEX = 4
const SIGMA = 5

const LEAST_THICKNESS = 0.02
const GREATEST_THICKNESS = 3.5
const LEAST_SIGMA = 0.03
const MOST_OF_WAY = 0.7
/** So near to a bound a thickness is at it, mm. */
const NEAR = 1e-3
const MOST_TURNS = 40

/** Grey value of the model at a position, mm. */
export function plateGrey(model: PlateModel, xMm: number): number {
  const outer = (xMm - model.outerMm) / model.sigmaMm
  const inner = (xMm - model.outerMm + model.thicknessMm) / model.sigmaMm
  return (
    model.innerGrey +
    (model.cortexGrey - model.innerGrey) * quickCdf(inner) +
    (model.outsideGrey - model.cortexGrey) * quickCdf(outer)
  )
}

/**
 * The plate that fits a profile best, by Levenberg and Marquardt with Gaussian priors, from several starting
 * thicknesses or whole plates; the lowest cost wins. Samples of weight 0 are left out.
 * Positions in mm along the outward normal; `noiseSd` is the noise of the profile's samples, grey.
 */
export function fitPlate(
  positionsMm: ArrayLike<number>,
  greys: ArrayLike<number>,
  weights: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
  starts: readonly (number | PlateModel)[] = [0.3, 0.7, 1.2, 1.8, 2.7],
): PlateFit {
  const problem = plateProblem(positionsMm, greys, weights, noiseSd, prior)
  let best: PlateFit | null = null
  for (const start of starts) {
    const fit = descend(problem, start)
    if (best === null || fit.cost < best.cost) best = fit
  }
  if (best === null) throw new RangeError('fitPlate needs at least one starting thickness')
  return best
}

/** A profile with its weights and priors, made ready for repeated evaluation. */
export interface PlateProblem {
  readonly x: ArrayLike<number>
  readonly y: ArrayLike<number>
  /** Weight over noise variance, sample by sample. */
  readonly w: Float64Array
  readonly priorValue: Float64Array
  /** 1 / sd^2; 0 for a parameter nothing is known about, and for a fixed one. */
  readonly priorWeight: Float64Array
  /** Indices of the parameters that are fitted. */
  readonly free: Uint8Array
}

export function plateProblem(
  positionsMm: ArrayLike<number>,
  greys: ArrayLike<number>,
  weights: ArrayLike<number>,
  noiseSd: number,
  prior: PlatePrior,
): PlateProblem {
  const w = new Float64Array(positionsMm.length)
  for (let n = 0; n < w.length; n++) w[n] = weights[n] / (noiseSd * noiseSd)
  const free: number[] = []
  const priorValue = new Float64Array(COUNT)
  const priorWeight = new Float64Array(COUNT)
  PLATE_PARAMETERS.forEach((name, n) => {
    const { value, sd } = prior[name]
    priorValue[n] = value
    if (sd > 0) free.push(n)
    if (sd > 0 && Number.isFinite(sd)) priorWeight[n] = 1 / (sd * sd)
  })
  return { x: positionsMm, y: greys, w, priorValue, priorWeight, free: Uint8Array.from(free) }
}

const hessian = new Float64Array(COUNT * COUNT)
const factor = new Float64Array(COUNT * COUNT)
const gradient = new Float64Array(COUNT)
const step = new Float64Array(COUNT)
const row = new Float64Array(COUNT)

function descend(problem: PlateProblem, start: number | PlateModel): PlateFit {
  const { free, priorValue } = problem
  let p = Float64Array.from(priorValue)
  let next = new Float64Array(COUNT)
  for (const n of free)
    if (typeof start !== 'number') p[n] = start[PLATE_PARAMETERS[n]]
    else if (n === THICKNESS) p[n] = start
  let cost = costOf(problem, p)
  let damping = 0.1
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    normalEquations(problem, p)
    holdAtBound(problem, p)
    let gained = 0
    for (let attempt = 0; attempt < 8 && gained === 0; attempt++) {
      solveDamped(free.length, damping)
      next.set(p)
      for (let n = 0; n < free.length; n++) next[free[n]] = p[free[n]] - step[n]
      next[THICKNESS] = withinBounds(p[THICKNESS], next[THICKNESS])
      next[SIGMA] = Math.max(LEAST_SIGMA, next[SIGMA])
      const nextCost = costOf(problem, next)
      if (nextCost < cost) {
        gained = cost - nextCost
        cost = nextCost
        ;[p, next] = [next, p]
        damping = Math.max(1e-9, damping / 5)
      } else damping *= 5
    }
    if (gained <= 1e-6 * (1 + cost)) break
  }
  return {
    outerMm: p[OUTER],
    thicknessMm: p[THICKNESS],
    innerGrey: p[INNER],
    outsideGrey: p[OUTSIDE],
    cortexGrey: p[CORTEX],
    sigmaMm: p[SIGMA],
    cost,
  }
}

function costOf({ x, y, w, priorValue, priorWeight }: PlateProblem, p: Float64Array): number {
  const perSigma = 1 / p[SIGMA]
  const outer = p[OUTER]
  const inner = outer - p[THICKNESS]
  const rise = p[CORTEX] - p[INNER]
  const fall = p[OUTSIDE] - p[CORTEX]
  let sum = 0
  for (let n = 0; n < x.length; n++) {
    if (w[n] === 0) continue
    const model =
      p[INNER] + rise * quickCdf((x[n] - inner) * perSigma) + fall * quickCdf((x[n] - outer) * perSigma)
    const residual = y[n] - model
    sum += w[n] * residual * residual
  }
  for (let n = 0; n < COUNT; n++) {
    const off = p[n] - priorValue[n]
    sum += priorWeight[n] * off * off
  }
  return sum / 2
}

/** Lower triangle of J'WJ + prior and J'W(model - y) + prior, for the free parameters. */
function normalEquations({ x, y, w, priorValue, priorWeight, free }: PlateProblem, p: Float64Array): void {
  const size = free.length
  hessian.fill(0)
  gradient.fill(0)
  for (let n = 0; n < x.length; n++) {
    if (w[n] === 0) continue
    const residual = plateRow(p, x[n], row) - y[n]
    for (let r = 0; r < size; r++) {
      const scaled = w[n] * row[free[r]]
      gradient[r] += scaled * residual
      for (let c = 0; c <= r; c++) hessian[r * COUNT + c] += scaled * row[free[c]]
    }
  }
  for (let r = 0; r < size; r++) {
    gradient[r] += priorWeight[free[r]] * (p[free[r]] - priorValue[free[r]])
    hessian[r * COUNT + r] += priorWeight[free[r]]
  }
}

/** A step beyond a bound goes most of the way to it: it may turn out to have been too long. */
function withinBounds(from: number, to: number): number {
  if (to < LEAST_THICKNESS)
    return Math.max(LEAST_THICKNESS, from + MOST_OF_WAY * (LEAST_THICKNESS - from) - NEAR)
  if (to > GREATEST_THICKNESS)
    return Math.min(GREATEST_THICKNESS, from + MOST_OF_WAY * (GREATEST_THICKNESS - from) + NEAR)
  return to
}

/** A thickness at its bound that would go on beyond it stays there, and the others move as if it were fixed. */
function holdAtBound({ free }: PlateProblem, p: Float64Array): void {
  const n = free.indexOf(THICKNESS)
  if (n < 0) return
  const outwards =
    (p[THICKNESS] <= LEAST_THICKNESS && gradient[n] > 0) ||
    (p[THICKNESS] >= GREATEST_THICKNESS && gradient[n] < 0)
  if (!outwards) return
  gradient[n] = 0
  for (let c = 0; c < n; c++) hessian[n * COUNT + c] = 0
  for (let r = n + 1; r < free.length; r++) hessian[r * COUNT + n] = 0
}

/** The model at a position, and into `out` its slope in each parameter. */
export function plateRow(p: ArrayLike<number>, xMm: number, out: Float64Array): number {
  const sigma = p[SIGMA]
  const b = (xMm - p[OUTER]) / sigma
  const a = b + p[THICKNESS] / sigma
  const inside = quickCdf(a)
  const outside = quickCdf(b)
  const rise = ((p[CORTEX] - p[INNER]) * quickDensity(a)) / sigma
  const fall = ((p[OUTSIDE] - p[CORTEX]) * quickDensity(b)) / sigma
  out[OUTER] = -rise - fall
  out[THICKNESS] = rise
  out[INNER] = 1 - inside
  out[OUTSIDE] = outside
  out[CORTEX] = inside - outside
  out[SIGMA] = -rise * a - fall * b
  return p[INNER] + (p[CORTEX] - p[INNER]) * inside + (p[OUTSIDE] - p[CORTEX]) * outside
}

/** Solves (H + damping diag H) step = gradient by Cholesky. */
function solveDamped(size: number, damping: number): void {
  for (let r = 0; r < size; r++)
    for (let c = 0; c <= r; c++) {
      let sum = hessian[r * COUNT + c]
      if (r === c) sum = sum * (1 + damping) + 1e-12
      for (let k = 0; k < c; k++) sum -= factor[r * COUNT + k] * factor[c * COUNT + k]
      factor[r * COUNT + c] = r === c ? Math.sqrt(Math.max(sum, 1e-12)) : sum / factor[c * COUNT + c]
    }
  for (let r = 0; r < size; r++) {
    let sum = gradient[r]
    for (let k = 0; k < r; k++) sum -= factor[r * COUNT + k] * step[k]
    step[r] = sum / factor[r * COUNT + r]
  }
  for (let r = size - 1; r >= 0; r--) {
    let sum = step[r]
    for (let k = r + 1; k < size; k++) sum -= factor[k * COUNT + r] * step[k]
    step[r] = sum / factor[r * COUNT + r]
  }
}
