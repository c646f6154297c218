import {
  along,
  axisPoint,
  type FixtureShape,
  fixtureFrame,
  fixtureProfile,
  normalize,
  radialDirection,
  radiusAtMm,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'
import { type Anatomy, anatomyAt } from './anatomy.js'

/** What ends a ray first. Only 'bone' has a number: the ray left bone through its outer surface. */
export type TruthState = 'bone' | 'axis-outside' | 'tooth' | 'canal' | 'field'

/** The exact margins of one fixture, [depth][angle]. */
export interface FixtureTruth {
  readonly name: string
  readonly depthsMm: readonly number[]
  readonly anglesDeg: readonly number[]
  /** Fixture surface to the first exit from bone along the ray; positive = bone left; null unless the state is 'bone'. */
  readonly radialMarginMm: readonly (readonly (number | null)[])[]
  readonly state: readonly (readonly TruthState[])[]
  readonly minimum: { readonly marginMm: number; readonly depthMm: number; readonly angleDeg: number } | null
}

export interface TruthFixture {
  readonly name: string
  readonly shape: FixtureShape
  readonly platform: WorldPoint
  readonly apical: Vec3
  readonly facial: Vec3
}

export interface TruthField {
  readonly centre: WorldPoint
  readonly radiusMm: number
  readonly sizeMm: readonly [number, number, number]
}

const stepMm = 0.02
const reachMm = 20

/**
 * Margins on the analytic surfaces, not on voxels: each ray from the axis is followed in steps of half the
 * distance that is clear (0.02 mm at least) and the change bisected to 1e-6 mm. Ligament, marrow and canals do not end bone by themselves; a ray that meets a tooth's
 * ligament or the incisive canal before it leaves bone has that as its state and no number.
 */
export function fixtureTruth(
  anatomy: Anatomy,
  field: TruthField,
  fixture: TruthFixture,
  depthStepMm = 0.5,
  angleCount = 72,
): FixtureTruth {
  const profile = fixtureProfile(fixture.shape)
  const frame = fixtureFrame(fixture, fixture.facial)
  const depthsMm = Array.from(
    { length: Math.floor(profile.lengthMm / depthStepMm + 1e-9) + 1 },
    (_, n) => n * depthStepMm,
  )
  const anglesDeg = Array.from({ length: angleCount }, (_, n) => (360 * n) / angleCount)
  let minimum: FixtureTruth['minimum'] = null
  const state: TruthState[][] = []
  const radialMarginMm = depthsMm.map((depthMm) => {
    const origin = axisPoint(frame, depthMm)
    const row: TruthState[] = []
    state.push(row)
    return anglesDeg.map((angleDeg) => {
      const hit = castRay(anatomy, field, origin, radialDirection(frame, angleDeg))
      row.push(hit.state)
      if (hit.state !== 'bone') return null
      const marginMm = round(hit.distanceMm - radiusAtMm(profile, depthMm))
      if (minimum === null || marginMm < minimum.marginMm) minimum = { marginMm, depthMm, angleDeg }
      return marginMm
    })
  })
  return { name: fixture.name, depthsMm, anglesDeg, radialMarginMm, state, minimum }
}

const round = (v: number): number => Math.round(v * 1e4) / 1e4

function castRay(
  anatomy: Anatomy,
  field: TruthField,
  origin: WorldPoint,
  direction: Vec3,
): { state: TruthState; distanceMm: number } {
  const look = (r: number): { state: TruthState | null; clearMm: number } => {
    const point = along(origin, direction, r)
    if (!inField(field, point)) return { state: 'field', clearMm: 0 }
    const { bone, tooth, canal } = anatomyAt(anatomy, point)
    const state = bone > 0 ? 'bone' : tooth < 0 ? 'tooth' : canal < 0 ? 'canal' : null
    return { state, clearMm: Math.min(-bone, tooth, canal) }
  }
  const start = look(0)
  if (start.state !== null)
    return { state: start.state === 'bone' ? 'axis-outside' : start.state, distanceMm: 0 }
  let before = 0
  let clear = start.clearMm
  while (before < reachMm) {
    // Distances change by less than 1.5 mm per mm: half of what is clear cannot jump over a surface.
    const r = before + Math.min(1, Math.max(stepMm, 0.5 * clear))
    const { state, clearMm } = look(r)
    if (state !== null) return bisect((at) => look(at).state, before, r)
    before = r
    clear = clearMm
  }
  return { state: 'field', distanceMm: reachMm }
}

/** Where the state first appears between a clear place and one that is not, to 1e-6 mm. */
function bisect(
  stateAt: (r: number) => TruthState | null,
  from: number,
  to: number,
): { state: TruthState; distanceMm: number } {
  let [low, high] = [from, to]
  while (high - low > 1e-6) {
    const middle = (low + high) / 2
    if (stateAt(middle) === null) low = middle
    else high = middle
  }
  return { state: stateAt(high) ?? 'bone', distanceMm: high }
}

export const inField = (field: TruthField, point: WorldPoint): boolean =>
  Math.hypot(point[0] - field.centre[0], point[1] - field.centre[1]) < field.radiusMm &&
  Math.abs(point[2] - field.centre[2]) < field.sizeMm[2] / 2

/** Cortical thickness along the outward normal at a point of the outer surface. */
export interface PlateSample {
  readonly outerPoint: Vec3
  readonly outwardNormal: Vec3
  readonly thicknessMm: number
}

/**
 * The facial plate where a ray along `inward` from `start` (outside bone) meets it. Null when it meets no bone, or no
 * marrow within 4 mm behind the surface.
 */
export function plateSample(anatomy: Anatomy, start: WorldPoint, inward: Vec3): PlateSample | null {
  const bone = (p: WorldPoint) => anatomyAt(anatomy, p).bone
  const outer = firstSign(bone, start, inward, 15)
  if (outer === null) return null
  const outerPoint = along(start, inward, outer)
  const e = 1e-4
  const slope = ([0, 1, 2] as const).map((a) => {
    const side: [number, number, number] = [0, 0, 0]
    side[a] = 1
    return bone(along(outerPoint, side, e)) - bone(along(outerPoint, side, -e))
  }) as [number, number, number]
  const outwardNormal = normalize(slope)
  const marrow = (p: WorldPoint) => anatomyAt(anatomy, p).marrow
  const back: Vec3 = [-outwardNormal[0], -outwardNormal[1], -outwardNormal[2]]
  const thickness = firstSign(marrow, outerPoint, back, 4)
  if (thickness === null) return null
  return {
    outerPoint: outerPoint.map(round) as [number, number, number],
    outwardNormal: outwardNormal.map((v) => Math.round(v * 1e6) / 1e6) as [number, number, number],
    thicknessMm: round(thickness),
  }
}

/** Distance along a ray at which f first falls to zero or below, to 1e-6 mm. */
function firstSign(
  f: (p: WorldPoint) => number,
  start: WorldPoint,
  direction: Vec3,
  reach: number,
): number | null {
  for (let r = 0; r < reach; r += stepMm) {
    if (f(along(start, direction, r)) > 0) continue
    let [low, high] = [Math.max(0, r - stepMm), r]
    while (high - low > 1e-6) {
      const middle = (low + high) / 2
      if (f(along(start, direction, middle)) > 0) low = middle
      else high = middle
    }
    return high
  }
  return null
}
