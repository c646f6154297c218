import { along, dot, toIndex, type Vec3, type WorldPoint } from '../space/index.js'
import { createSampler, type IndexSampler } from '../volume/index.js'
import { localCalibration } from './calibrate.js'
import type { SurfaceHits } from './hits.js'
import { plateSpread } from './interval.js'
import { type LocalShape, localShape } from './local-shape.js'
import type { MarchedSurface } from './march.js'
import type { BoneModel } from './model.js'
import {
  FIT_FROM_MM,
  type FittedPlate,
  fitProfile,
  LOOK_TO_MM,
  type PlateGuess,
  type PlateSetting,
} from './plate-profile.js'
import { discProfile, MEAN_SQUARE_OFFSET } from './profile.js'
import { apexRay, type RayFan } from './rays.js'
import { median } from './statistics.js'

/** The fitted outer surface, ray by ray; where a ray was not refined its fast number stands and the others are NaN. */
export interface RefinedSurface {
  readonly hits: SurfaceHits
  /** 1 where a fast number had to be kept. */
  readonly unrefined: Uint8Array
  /** SD of the radius along the ray, mm. */
  readonly radiusSdMm: Float64Array
  /** Thickness of the plate behind the hit along the surface's normal, and its SD, mm. */
  readonly cortexMm: Float64Array
  readonly cortexSdMm: Float64Array
  /** Sigma of the blur as sampled where the fixture is, mm. */
  readonly blurMm: number
}

const STEP_MM = 0.1
const STARTS_MM: readonly number[] = [0.3, 0.8, 1.8, 2.7]
/** A fit that moves the surface farther than this, or a grazing ray's hit farther than that, is not believed. */
const GREATEST_SHIFT_MM = 0.6
const GREATEST_MOVE_MM = 2
/** Rays that graze the surface more than this are taken as if they did not. */
const LEAST_COSINE = 0.2
/** Thickness of the plate agrees with that of the rays around it within this. */
const THICKNESS_SD_MM = 0.2
/** Five by five rays are asked, about so far apart: nearer ones see nearly the same voxels. */
const AROUND = 2
const AROUND_STEP_MM = 0.65
/**
 * What a blurred plate leaves unexplained of a real profile, as a share of the contrast: blur that is not Gaussian, cortex
 * that is not even. Without it a quiet or edge-enhanced scan is fitted by plates that are not there.
 */
const MODEL_SHARE = 0.03
/** What normals, curvature and calibration leave unsure of a face, mm. */
const GEOMETRY_SD_MM = 0.008

/** A ray's plate as fitted, in positions along its normal from the hit it was fitted about. */
interface RayFit {
  readonly fitted: FittedPlate
  readonly positionsMm: Float64Array
  readonly setting: PlateSetting
}

/**
 * Moves the hits of the fast march to the fitted outer face of the cortical plate. Twice over: a disc profile along the
 * normal, a blurred plate fitted to it, back along the ray with what curvature takes away; the second time from the new
 * places and with the thickness that the rays around have. Steps through the rows, so
 * that it can be stopped, and says what share is done.
 */
export function* refineSurface(
  model: BoneModel,
  fan: RayFan,
  marched: MarchedSurface,
): Generator<number, RefinedSurface> {
  const rays = new Refinement(model, fan, marched)
  for (const turn of [0, 1] as const)
    for (let row = 0; row < fan.rows; row++) {
      if (turn === 0) rays.fitRow(row)
      else rays.fitRowAgain(row)
      yield (turn * fan.rows + row + 1) / (2 * fan.rows)
    }
  return rays.result()
}

class Refinement {
  readonly #model: BoneModel
  readonly #fan: RayFan
  readonly #fast: SurfaceHits
  readonly #sample: IndexSampler
  readonly #masked: Uint8Array
  readonly #normals: Float64Array
  /** Of the rays that were fitted. */
  readonly #shapes: Map<number, LocalShape>
  readonly #radiusMm: Float64Array
  readonly #thicknessMm: Float64Array
  readonly #result: RefinedSurface
  readonly #cortexGrey: number
  readonly #blurMm: number

  constructor(model: BoneModel, fan: RayFan, { hits: fast, traces, masked }: MarchedSurface) {
    this.#model = model
    this.#fan = fan
    this.#fast = fast
    this.#sample = createSampler(model.volume)
    this.#masked = masked
    this.#normals = traces.normals
    this.#shapes = new Map()
    const middle = fan.starts[fan.mapFrom + (fan.mapRows >> 1)] as WorldPoint
    const local = localCalibration(model, toIndex(model.volume.worldToIndex, middle))
    const h2 = model.volume.spacingMm.reduce((sum, h) => sum + h * h, 0) / 3
    this.#cortexGrey = local.cortexGrey
    this.#blurMm = Math.sqrt(local.psfSigmaMm ** 2 + h2 / 6)
    const count = fast.states.length
    this.#radiusMm = new Float64Array(count).fill(Number.NaN)
    this.#thicknessMm = new Float64Array(count).fill(Number.NaN)
    const nothing = () => new Float64Array(count).fill(Number.NaN)
    this.#result = {
      hits: { ...fast, radiusMm: fast.radiusMm.slice(), points: fast.points.slice() },
      unrefined: new Uint8Array(count),
      radiusSdMm: nothing(),
      cortexMm: nothing(),
      cortexSdMm: nothing(),
      blurMm: this.#blurMm,
    }
  }

  result(): RefinedSurface {
    const { hits } = this.#result
    const axis = apexRay(this.#fan)
    for (let ray = axis + 1; ray < hits.states.length; ray++) {
      hits.radiusMm[ray] = hits.radiusMm[axis]
      hits.points.copyWithin(3 * ray, 3 * axis, 3 * axis + 3)
    }
    return this.#result
  }

  /** First turn: about the fast hits, any thickness. */
  fitRow(row: number): void {
    for (const ray of this.#raysOf(row)) {
      if (this.#fast.states[ray] !== 'bone' || this.#masked[ray] === 1) continue
      const shape = localShape(this.#fast, this.#normals, ray)
      this.#shapes.set(ray, shape)
      const fit = this.#fit(ray, this.#fast.radiusMm[ray], shape, { starts: STARTS_MM })
      if (fit === null) continue
      const { plate } = fit.fitted
      this.#radiusMm[ray] = this.#fast.radiusMm[ray] + this.#along(ray, shape, plate.outerMm)
      this.#thicknessMm[ray] = plate.thicknessMm
    }
  }

  /** Second turn: about the new places, with the thickness of the rays around. */
  fitRowAgain(row: number): void {
    const { hits, unrefined, radiusSdMm, cortexMm, cortexSdMm } = this.#result
    for (const ray of this.#raysOf(row)) {
      const shape = this.#shapes.get(ray)
      if (shape === undefined) continue
      unrefined[ray] = 1
      const start = this.#believed(ray, shape, this.#radiusMm[ray])
        ? this.#radiusMm[ray]
        : this.#fast.radiusMm[ray]
      const value = this.#thicknessAround(ray)
      const starts = [...new Set([value, this.#thicknessMm[ray]].filter(Number.isFinite))]
      if (starts.length === 0) continue
      const fit = this.#fit(ray, start, shape, { starts, thicknessMm: { value, sd: THICKNESS_SD_MM } })
      if (fit === null) continue
      const { plate } = fit.fitted
      const radius = start + this.#along(ray, shape, plate.outerMm)
      if (!this.#believed(ray, shape, radius)) continue
      const spread = plateSpread(
        fit.positionsMm,
        fit.fitted,
        fit.setting,
        this.#model.calibration.profileNoise,
      )
      unrefined[ray] = 0
      hits.radiusMm[ray] = radius
      hits.points.set(this.#pointAt(ray, radius), 3 * ray)
      radiusSdMm[ray] = Math.hypot(spread.outerSdMm, GEOMETRY_SD_MM) / this.#cosine(ray, shape)
      cortexMm[ray] = plate.thicknessMm
      cortexSdMm[ray] = Math.hypot(spread.thicknessSdMm, GEOMETRY_SD_MM)
    }
  }

  #raysOf(row: number): number[] {
    const { columns, rows } = this.#fan
    // All rays of the last row are the one on the axis.
    const count = row === rows - 1 ? 1 : columns
    return Array.from({ length: count }, (_, c) => row * columns + c)
  }

  #fit(ray: number, radiusMm: number, { normal }: LocalShape, guess: PlateGuess): RayFit | null {
    const { volume, calibration, softAt } = this.#model
    const point = this.#pointAt(ray, radiusMm)
    const profile = discProfile(volume, this.#sample, point, normal, {
      fromMm: FIT_FROM_MM,
      toMm: LOOK_TO_MM,
      stepMm: STEP_MM,
      radiusMm: calibration.discRadiusMm,
    })
    const setting: PlateSetting = {
      softGrey: softAt(...(toIndex(volume.worldToIndex, point) as Vec3)),
      cortexGrey: this.#cortexGrey,
      sigmaMm: this.#blurMm,
      noiseSd: Math.max(
        Math.sqrt(calibration.profileNoise.covariance[0] ?? 0),
        MODEL_SHARE * (this.#cortexGrey - calibration.softGrey),
      ),
    }
    const fitted = fitProfile(profile, setting, guess)
    return fitted === null ? null : { fitted, positionsMm: profile.positionsMm, setting }
  }

  /** From an offset of the averaged, blurred face along the normal to one of the face itself along the ray. */
  #along(ray: number, shape: LocalShape, outerMm: number): number {
    const { discRadiusMm } = this.#model.calibration
    const sag = (MEAN_SQUARE_OFFSET * discRadiusMm ** 2) / 4 + this.#blurMm ** 2 / 2
    return (outerMm + shape.curvaturePerMm * sag) / this.#cosine(ray, shape)
  }

  #cosine(ray: number, { normal }: LocalShape): number {
    return Math.max(LEAST_COSINE, dot(normal, this.#fan.directions[ray] as Vec3))
  }

  #believed(ray: number, shape: LocalShape, radiusMm: number): boolean {
    const move = Math.abs(radiusMm - this.#fast.radiusMm[ray])
    return move <= GREATEST_MOVE_MM && move * this.#cosine(ray, shape) <= GREATEST_SHIFT_MM
  }

  #pointAt(ray: number, radiusMm: number): WorldPoint {
    const start = this.#fan.starts[Math.floor(ray / this.#fan.columns)] as WorldPoint
    return along(start, this.#fan.directions[ray] as Vec3, radiusMm)
  }

  /** The middle of the first turn's thicknesses on the rays around. */
  #thicknessAround(ray: number): number {
    const { rows, columns } = this.#fan
    const row = Math.floor(ray / columns)
    const down = this.#stride(ray, columns)
    const round = this.#stride(ray, 1)
    const found: number[] = []
    for (let dr = -AROUND; dr <= AROUND; dr++) {
      const r = row + dr * down
      if (r < 0 || r >= rows) continue
      for (let dc = -AROUND; dc <= AROUND; dc++) {
        const column = (ray + dc * round + AROUND * columns) % columns
        const t = this.#thicknessMm[r * columns + column]
        if (!Number.isNaN(t)) found.push(t)
      }
    }
    return median(found)
  }

  /** How many rays apart, in steps of the net, the ones to ask lie. */
  #stride(ray: number, step: number): number {
    const { points, states } = this.#fast
    const next = [ray + step, ray - step].find((n) => states[n] === 'bone')
    if (next === undefined) return 1
    const gapMm = Math.hypot(
      points[3 * next] - points[3 * ray],
      points[3 * next + 1] - points[3 * ray + 1],
      points[3 * next + 2] - points[3 * ray + 2],
    )
    return Math.max(1, Math.min(4, Math.round(AROUND_STEP_MM / Math.max(gapMm, 0.05))))
  }
}
