import { PLATE_PARAMETERS, type PlateModel, plateRow } from './edge-fit.js'
import { quickCdf } from './normal.js'
import { type FittedPlate, marrowTexture, type PlateSetting } from './plate-profile.js'
import type { ProfileNoise } from './profile-noise.js'

/** Standard deviations of a fitted plate's faces, mm along the normal. */
export interface PlateSpread {
  readonly outerSdMm: number
  readonly thicknessSdMm: number
}

/** Parameters that a profile's fit leaves free: all but the blur. */
const FREE = PLATE_PARAMETERS.length - 1
/** How far apart marrow's texture still hangs together, mm. */
const TEXTURE_MM = 0.35

/**
 * How sure a fitted plate is, by the sandwich covariance (H^-1)(J'W S W J + prior)(H^-1), H = J'WJ + prior. S is what the
 * samples' errors really have in common: the noise as measured in the scan's even tissue, and marrow's texture behind the
 * inner face. Residuals are not used: they collapse where the model can follow the noise.
 */
export function plateSpread(
  positionsMm: ArrayLike<number>,
  { plate, weights, prior }: FittedPlate,
  setting: PlateSetting,
  noise: ProfileNoise,
): PlateSpread {
  const used: number[] = []
  for (let n = 0; n < weights.length; n++) if (weights[n] > 0) used.push(n)
  const slopes = slopesOf(positionsMm, plate, used)
  const weighted = new Float64Array(slopes.length)
  for (let m = 0; m < used.length; m++)
    for (let a = 0; a < FREE; a++)
      weighted[m * FREE + a] = (slopes[m * FREE + a] * weights[used[m]]) / (setting.noiseSd * setting.noiseSd)
  const h = new Float64Array(FREE * FREE)
  const meat = new Float64Array(FREE * FREE)
  addProduct(h, weighted, slopes)
  addProduct(meat, weighted, shared(positionsMm, plate, setting, noise, used, weighted))
  for (let a = 0; a < FREE; a++) {
    const { sd } = prior[PLATE_PARAMETERS[a]]
    const weight = Number.isFinite(sd) ? 1 / (sd * sd) : 0
    h[a * FREE + a] += weight
    meat[a * FREE + a] += weight
  }
  return { outerSdMm: spreadOf(h, meat, 0), thicknessSdMm: spreadOf(h, meat, 1) }
}

function slopesOf(positionsMm: ArrayLike<number>, plate: PlateModel, used: readonly number[]): Float64Array {
  const p = PLATE_PARAMETERS.map((name) => plate[name])
  const all = new Float64Array(PLATE_PARAMETERS.length)
  const slopes = new Float64Array(used.length * FREE)
  for (let m = 0; m < used.length; m++) {
    plateRow(p, positionsMm[used[m]], all)
    for (let a = 0; a < FREE; a++) slopes[m * FREE + a] = all[a]
  }
  return slopes
}

/** S times the weighted slopes. */
function shared(
  positionsMm: ArrayLike<number>,
  plate: PlateModel,
  setting: PlateSetting,
  { stepMm, covariance }: ProfileNoise,
  used: readonly number[],
  weighted: Float64Array,
): Float64Array {
  const texture = marrowTexture(setting)
  const inMarrow = used.map(
    (n) => texture * (1 - quickCdf((positionsMm[n] - plate.outerMm + plate.thicknessMm) / plate.sigmaMm)),
  )
  const out = new Float64Array(weighted.length)
  for (let m = 0; m < used.length; m++)
    for (let k = 0; k < used.length; k++) {
      const apart = Math.abs(positionsMm[used[m]] - positionsMm[used[k]])
      const lag = Math.round(apart / stepMm)
      const common =
        (lag < covariance.length ? covariance[lag] : 0) +
        inMarrow[m] * inMarrow[k] * Math.exp((-0.5 * apart * apart) / (TEXTURE_MM * TEXTURE_MM))
      for (let a = 0; a < FREE; a++) out[m * FREE + a] += common * weighted[k * FREE + a]
    }
  return out
}

/** Adds A'B. */
function addProduct(sum: Float64Array, a: Float64Array, b: Float64Array): void {
  for (let m = 0; m < a.length; m += FREE)
    for (let r = 0; r < FREE; r++) for (let c = 0; c < FREE; c++) sum[r * FREE + c] += a[m + r] * b[m + c]
}

/** sqrt of the diagonal entry of H^-1 M H^-1 for one parameter. */
function spreadOf(h: Float64Array, meat: Float64Array, parameter: number): number {
  const column = solve(h, parameter)
  let sum = 0
  for (let r = 0; r < FREE; r++)
    for (let c = 0; c < FREE; c++) sum += column[r] * meat[r * FREE + c] * column[c]
  return Math.sqrt(Math.max(0, sum))
}

/** A column of the inverse of a symmetric positive matrix, by Gaussian elimination. */
function solve(matrix: Float64Array, unit: number): Float64Array {
  const m = Float64Array.from(matrix)
  const x = new Float64Array(FREE)
  x[unit] = 1
  for (let k = 0; k < FREE; k++) {
    const pivot = m[k * FREE + k] + 1e-12
    for (let r = k + 1; r < FREE; r++) {
      const share = m[r * FREE + k] / pivot
      for (let c = k; c < FREE; c++) m[r * FREE + c] -= share * m[k * FREE + c]
      x[r] -= share * x[k]
    }
  }
  for (let r = FREE - 1; r >= 0; r--) {
    for (let c = r + 1; c < FREE; c++) x[r] -= m[r * FREE + c] * x[c]
    x[r] /= m[r * FREE + r] + 1e-12
  }
  return x
}
