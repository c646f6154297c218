import { resolveLimits, sectorsOf } from '../src/assess/index.js'
import type { BoneAtPose, ExitAtPose, ExploredSite, FixturePose, PoseMeter } from '../src/explore/index.js'
import {
  axisPoint,
  type FixtureFrame,
  type FixtureShape,
  fixtureFrame,
  fixtureProfile,
} from '../src/fixture/index.js'
import { type Plan, placedCrown } from '../src/plan/index.js'
import { along, dot, normalize, type Vec3 } from '../src/space/index.js'
import { uprightPlan } from './plan-fixture.js'
import { type Face, slabSite } from './tilt-chart-meter.js'

/**
 * A ridge in the frame of `uprightPlan`: +x facial, +y mesial, +z apical, the planned platform at the origin, the planned
 * margin near z = -3.5. All lengths mm.
 */
export interface RidgeScene {
  readonly faces: readonly Face[]
  /** A facial hollow: a cylinder along y that is not bone. */
  readonly hollow?: { readonly x: number; readonly z: number; readonly radiusMm: number }
  /** The channel leaves in the plane z = exitZ; the edge line lies at x = edgeX. */
  readonly exitZ: number
  readonly edgeX: number
  /** Where the crown's facial margin is: the platform's facial rim lies oral of it by rimOralMm. */
  readonly marginX: number
  /** Crown between x = oral and facial in the plane of exit; everything when absent. */
  readonly wall?: { readonly oral: number; readonly facial: number }
  /** The bend that keeps the wall leads so much farther orally. */
  readonly walledBehindMm?: number
}

const CHANNEL_RADIUS_MM = 1.15
const BEND_PIVOT_MM = 3
/** Bone wanted beyond the fixture's side, mm, for the graft: facial, elsewhere. */
const WANTED_MM = [2, 1] as const
/** Graft for a millimetre wanting at each of the four sides, mm3. Any will do. */
const SIDE_MM2 = 25

/** A site whose meter works all out in closed form, of plane faces, an upright cylinder for a hollow and a plane of exit. */
export function ridgeSite(scene: RidgeScene, change: Partial<Plan> = {}): ExploredSite {
  const plan = uprightPlan(change)
  return {
    ...anySite(),
    plan,
    crown: placedCrown(plan),
    limits: resolveLimits(plan.site.tooth, plan.limits),
    meter: (shape = plan.fixture.shape) =>
      ridgeMeter(scene, shape, placedCrown(plan).crown.landmarks.zenith[2] - 3.5),
  }
}

let known: ExploredSite | null = null
const anySite = (): ExploredSite => {
  known ??= slabSite({ faces: [] })
  return known
}

export function ridgeMeter(scene: RidgeScene, shape: FixtureShape, marginZ: number): PoseMeter {
  const { lengthMm, greatestRadiusMm: radiusMm } = fixtureProfile(shape)
  const sectors = sectorsOf('11')

  const bone = (pose: FixturePose): BoneAtPose => {
    const frame = fixtureFrame(pose, [1, 0, 0])
    const hollowMm = hollowMargin(scene, frame, lengthMm, radiusMm)
    let nearestMm = hollowMm
    const least = sectors.map((_, n) => (n === 0 ? hollowMm : Number.POSITIVE_INFINITY))
    for (const { n, at } of scene.faces) {
      const insideMm = Math.min(at - dot(n, frame.origin), at - dot(n, axisPoint(frame, lengthMm)))
      const [x, y] = [dot(n, frame.x), dot(n, frame.y)]
      nearestMm = Math.min(nearestMm, insideMm - radiusMm * Math.hypot(x, y))
      for (const [sector, { centreDeg }] of sectors.entries()) {
        const climb = greatestIn(x, y, centreDeg)
        if (climb > 0.01) least[sector] = Math.min(least[sector], insideMm / climb - radiusMm)
      }
    }
    return {
      sectors: Object.fromEntries(
        sectors.map(({ name }, n) => [name, Number.isFinite(least[n]) ? least[n] : null]),
      ),
      radialMm: Math.min(...least),
      nearestMm,
      openShare: 0,
      graftMm3: least.reduce(
        (sum, mm, n) => sum + SIDE_MM2 * Math.max(0, (n === 0 ? WANTED_MM[0] : WANTED_MM[1]) - mm),
        0,
      ),
    }
  }

  const exit = ({ platform, apical: [x, y, z] }: FixturePose): ExitAtPose => {
    const offsetMm = platform[0] - (x / z) * (platform[2] - scene.exitZ) - scene.edgeX
    return {
      class: offsetMm <= -1.5 ? 'palatal' : offsetMm >= 1.5 ? 'facial' : 'incisal',
      offsetMm,
      insideMm: -1.5 - offsetMm,
      tiltFacialDeg: degrees(Math.atan2(-x, z)),
      tiltMesialDeg: degrees(Math.atan2(-y, z)),
    }
  }

  /** From the bend to the half plane x <= wantedX of the plane of exit: the angle to the plane through its border. */
  const bendDeg = ({ platform, apical }: FixturePose, wantedX: number): number => {
    const axis = normalize(apical)
    const pivot = along(platform, axis, -BEND_PIVOT_MM / axis[2])
    const [dx, dz] = [wantedX - pivot[0], scene.exitZ - pivot[2]]
    const across: Vec3 = [-dz / Math.hypot(dx, dz), 0, dx / Math.hypot(dx, dz)]
    return Math.max(0, degrees(Math.asin(-dot(axis, across))))
  }

  return {
    shape,
    bone,
    exit,
    correctionDeg: (pose) => bendDeg(pose, scene.edgeX - 1.5),
    correctionWithWallDeg: (pose) => bendDeg(pose, scene.edgeX - 1.5 - (scene.walledBehindMm ?? 0)),
    wall: (pose) => {
      if (scene.wall === undefined) return { leastMm: 3, closedShare: 1 }
      const x = (exit(pose).offsetMm ?? 0) + scene.edgeX
      const { oral, facial } = scene.wall
      return { leastMm: Math.min(x - oral, facial - x) - CHANNEL_RADIUS_MM, closedShare: 1 }
    },
    platform: ({ platform }) => ({
      belowMarginMm: platform[2] - marginZ,
      crownHeightMm: platform[2] - scene.exitZ,
      rimOralMm: scene.marginX - platform[0] - radiusMm,
      steepestDeg: 0,
    }),
    clearanceMm: () => null,
  }
}

/** From a cylinder's side to the hollow, along its axis at eleven depths, as if it stood across the hollow's. */
function hollowMargin(
  { hollow }: RidgeScene,
  frame: FixtureFrame,
  lengthMm: number,
  radiusMm: number,
): number {
  if (hollow === undefined) return Number.POSITIVE_INFINITY
  let mm = Number.POSITIVE_INFINITY
  for (let n = 0; n <= 10; n++) {
    const [x, , z] = axisPoint(frame, (lengthMm * n) / 10)
    mm = Math.min(mm, Math.hypot(x - hollow.x, z - hollow.z) - hollow.radiusMm - radiusMm)
  }
  return mm
}

/** The greatest of x cos + y sin from 45 degrees before an angle to 45 after it. */
function greatestIn(x: number, y: number, centreDeg: number): number {
  const away = ((degrees(Math.atan2(y, x)) - centreDeg + 540) % 360) - 180
  return Math.hypot(x, y) * Math.cos(Math.max(0, Math.abs(away) - 45) * (Math.PI / 180))
}

const degrees = (radians: number): number => (radians * 180) / Math.PI
