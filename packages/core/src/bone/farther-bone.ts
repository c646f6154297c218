import { toIndex, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import { INSIDE, OUTSIDE } from './exterior.js'
import { marchSurface } from './march.js'
import { rayToMasks } from './masks.js'
import type { BoneModel } from './model.js'

/** A ray that is followed through the outside: from where on the axis, which way, and from how far out. */
export interface OutsideRay {
  readonly start: WorldPoint
  readonly direction: Vec3
  readonly fromMm: number
}

/** What a ray meets beyond the outside, mm from its start; infinite where it meets nothing of that kind. */
export interface FartherBone {
  /** Where bone begins, and where it ends again. */
  readonly entryMm: number
  readonly exitMm: number
  /** Where data ends, if no bone comes first. */
  readonly openMm: number
  /** Where a mask begins. */
  readonly maskMm: number
}

const STEP_MM = 0.15
/** Far enough into a plate for a march back to start in bone, near enough to stay in a thin one. */
const INTO_MM = 0.6
/** Bone across a gap is met at any slant; no neighbours' hits amplify what a grazing ray misses. */
const LEAST_COSINE = 0.1

/**
 * Bone, data's end and masks beyond the outside, no farther than `toMm` from the axis. The two faces of such bone are
 * measured as the fast march measures any: from within, outwards and back.
 */
export function fartherBone(model: BoneModel, rays: readonly OutsideRay[], toMm: number): FartherBone[] {
  const met = rays.map((ray) => firstInside(model, ray, toMm))
  const within = met.flatMap(({ insideMm }, n) => (Number.isFinite(insideMm) ? [n] : []))
  const toMasks = model.masks.length > 0 ? rayToMasks(model.masks) : null
  const exit = faces(model, rays, met, within, 1)
  const entry = faces(model, rays, met, within, -1)
  return rays.map(({ start, direction }, n) => ({
    entryMm: entry.get(n) ?? Number.POSITIVE_INFINITY,
    exitMm: exit.get(n) ?? Number.POSITIVE_INFINITY,
    openMm: met[n].openMm,
    maskMm: toMasks?.(start, direction, toMm) ?? Number.POSITIVE_INFINITY,
  }))
}

interface Met {
  /** A place inside the first bone beyond the outside. */
  readonly insideMm: number
  readonly openMm: number
}

const NOTHING: Met = { insideMm: Number.POSITIVE_INFINITY, openMm: Number.POSITIVE_INFINITY }

function firstInside(model: BoneModel, { start, direction, fromMm }: OutsideRay, toMm: number): Met {
  const { cells, shape, step: cell } = model.exterior
  const index = toIndex(model.volume.worldToIndex, start)
  const step = transformDirection(model.volume.worldToIndex, direction)
  const kind = (t: number): number | undefined => {
    const i = Math.floor((index[0] + t * step[0]) / cell[0] + 0.5)
    const j = Math.floor((index[1] + t * step[1]) / cell[1] + 0.5)
    const k = Math.floor((index[2] + t * step[2]) / cell[2] + 0.5)
    const inGrid = i >= 0 && j >= 0 && k >= 0 && i < shape[0] && j < shape[1] && k < shape[2]
    return inGrid ? cells[i + shape[0] * (j + shape[1] * k)] : undefined
  }
  let outside = false
  for (let t = fromMm; t <= toMm; t += STEP_MM) {
    const what = kind(t)
    if (what === OUTSIDE) outside = true
    else if (what !== INSIDE) return { ...NOTHING, openMm: t }
    else if (outside) {
      let last = t
      while (last < t + 2 * INTO_MM && kind(last + STEP_MM) === INSIDE) last += STEP_MM
      return { ...NOTHING, insideMm: (t + last) / 2 }
    }
  }
  return NOTHING
}

/** Where bone ends, seen from a place inside it, away from the axis or towards it; mm from the axis. */
function faces(
  model: BoneModel,
  rays: readonly OutsideRay[],
  met: readonly Met[],
  which: readonly number[],
  way: 1 | -1,
): Map<number, number> {
  if (which.length === 0) return new Map()
  const starts = which.map((n): Vec3 => {
    const { start, direction: d } = rays[n]
    const t = met[n].insideMm
    return [start[0] + t * d[0], start[1] + t * d[1], start[2] + t * d[2]]
  })
  const directions = which.map((n): Vec3 => {
    const [x, y, z] = rays[n].direction
    return [way * x, way * y, way * z]
  })
  const depthsMm = which.map(() => 0)
  const fan = {
    rows: which.length,
    columns: 1,
    mapFrom: 0,
    mapRows: which.length,
    depthsMm,
    starts,
    directions,
  }
  const { hits } = marchSurface(model, fan, { leastCosine: LEAST_COSINE })
  return new Map(
    which.map((n, at) => {
      const inside = met[n].insideMm
      if (hits.states[at] === 'bone') return [n, Math.max(0, inside + way * hits.radiusMm[at])]
      // Away from the axis bone goes on beyond range; towards it only the mask's rim was met, not bone.
      return [n, Number.POSITIVE_INFINITY]
    }),
  )
}
