import { cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import { resolveLimits } from '../src/assess/index.js'
import { type BoneModel, boneModel } from '../src/bone/index.js'
import type { BoneAtPose, ExploredSite, FixturePose, PoseMeter } from '../src/explore/index.js'
import { type FixtureShape, fixtureProfile } from '../src/fixture/index.js'
import { type Plan, placedCrown } from '../src/plan/index.js'
import { uprightPlan } from './plan-fixture.js'

/** From the platform as planned to the plane in which the channel leaves the crown, mm: clinical reference 12.3. */
export const EXIT_HEIGHT_MM = 14

/** Limits that a platform 3.5 mm below the margin keeps, however it is placed. */
export const WIDE_LIMITS = { platformDepthLeastMm: 0, platformDepthGreatestMm: 15, crownHeightCementMm: 0 }

/** Shortest distance of a fixture's side to the outside of bone, mm. */
export type Nearest = (pose: FixturePose, radiusMm: number, lengthMm: number) => number

/**
 * A site of tooth 11 with a meter of closed forms: bone known by the nearest distance alone, so that every sector counts
 * with it; the exit in the plane z = -14, the edge line at x = 0; the least bend in the plane of facial and oral.
 */
export function closedSite(nearest: Nearest, change: Partial<Plan> = {}): ExploredSite {
  const plan = uprightPlan({ limits: WIDE_LIMITS, ...change })
  const model = scan()
  return {
    plan,
    model,
    surface: {
      model,
      originMm: [0, 0, 0],
      stepMm: 1,
      shape: [0, 0, 0],
      distanceMm: new Float32Array(),
      kinds: new Uint8Array(),
      hardness: new Uint8Array(),
    },
    crown: placedCrown(plan),
    limits: resolveLimits(plan.site.tooth, plan.limits),
    meter: (shape = plan.fixture.shape) => closedMeter(nearest, shape),
  }
}

/** Bone where x < atMm: the side that reaches farthest facially is an end's rim. */
export const planeFacialAt =
  (atMm: number): Nearest =>
  ({ platform, apical: [x] }, radiusMm, lengthMm) =>
    atMm - platform[0] - Math.max(0, lengthMm * x) - radiusMm * Math.sqrt(Math.max(0, 1 - x * x))

/** Bone where x^2 + y^2 < radius^2: the side reaches farthest from that axis on one of its rims. */
export const roundBone =
  (boneRadiusMm: number): Nearest =>
  ({ platform, apical: [ax, ay, az] }, radiusMm, lengthMm) => {
    // Two directions across the fixture: level, and perpendicular to both.
    const level = Math.hypot(ax, ay)
    const [ux, uy] = level < 1e-12 ? [1, 0] : [-ay / level, ax / level]
    const [vx, vy] = [-az * uy, az * ux]
    let farthest = 0
    for (const depthMm of [0, lengthMm])
      for (let n = 0; n < 360; n++) {
        const [c, s] = [radiusMm * Math.cos((n * Math.PI) / 180), radiusMm * Math.sin((n * Math.PI) / 180)]
        const x = platform[0] + depthMm * ax + c * ux + s * vx
        const y = platform[1] + depthMm * ay + c * uy + s * vy
        farthest = Math.max(farthest, x * x + y * y)
      }
    return boneRadiusMm - Math.sqrt(farthest)
  }

function closedMeter(nearest: Nearest, shape: FixtureShape): PoseMeter {
  const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
  const bone = (pose: FixturePose): BoneAtPose => ({
    sectors: {},
    radialMm: null,
    nearestMm: nearest(pose, greatestRadiusMm, lengthMm),
    openShare: 0,
    graftMm3: null,
  })
  const exit = ({ platform, apical: [x, y, z] }: FixturePose) => {
    const offsetMm = platform[0] - (x / z) * (platform[2] + EXIT_HEIGHT_MM)
    return {
      class: offsetMm <= -1.5 ? ('palatal' as const) : ('incisal' as const),
      offsetMm,
      insideMm: -1.5 - offsetMm,
      tiltFacialDeg: degrees(Math.atan2(-x, z)),
      tiltMesialDeg: degrees(Math.atan2(-y, z)),
    }
  }
  const correctionDeg = (pose: FixturePose): number => {
    const { insideMm, tiltFacialDeg } = exit(pose)
    const wantedDeg = degrees(Math.atan2(-1.5 - pose.platform[0], pose.platform[2] + EXIT_HEIGHT_MM))
    return insideMm >= 0 ? 0 : tiltFacialDeg - wantedDeg
  }
  return {
    shape,
    bone,
    exit,
    correctionDeg,
    correctionWithWallDeg: () => {
      throw new Error('too slow for a cloud')
    },
    wall: () => {
      throw new Error('too slow for a cloud')
    },
    platform: ({ platform }) => ({
      belowMarginMm: platform[2] + 7,
      crownHeightMm: platform[2] + EXIT_HEIGHT_MM,
      rimOralMm: 1,
      steepestDeg: 0,
    }),
    clearanceMm: () => null,
  }
}

const degrees = (radians: number): number => (radians * 180) / Math.PI

let known: BoneModel | null = null

/** Any scan that calibrates itself, its voxels 0.2 mm: the surface's place is then known to hypot(0.1, 0.17) mm, 95 %. */
function scan(): BoneModel {
  const field = plateStack({
    origin: [0, 0, 0],
    normal: [1, 0, 0],
    faces: [-6, -4, 2, 4],
    greys: [50, 1500, 400, 1500, 50],
    sigmaMm: 0.25,
  })
  known ??= boneModel(renderField(field, cubicGrid([110, 110, 80], 0.2, [0.03, 0.05, 5.02])))
  return known
}
