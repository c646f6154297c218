import { cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import { inSector, resolveLimits, sectorsOf } from '../src/assess/index.js'
import { type BoneModel, boneModel, NODE_BONE, NODE_OUTSIDE, type SiteSurface } from '../src/bone/index.js'
import type { BoneAtPose, ExitAtPose, ExploredSite, FixturePose, PoseMeter } from '../src/explore/index.js'
import {
  axisPoint,
  type FixtureShape,
  fixtureFrame,
  fixtureProfile,
  radialDirection,
  radiusAtMm,
  surfaceGrid,
} from '../src/fixture/index.js'
import { type Plan, placedCrown } from '../src/plan/index.js'
import { along, dot, type Vec3 } from '../src/space/index.js'
import { uprightPlan } from './plan-fixture.js'

/** A half space that is bone: where n . p < at, n a unit vector, LPS mm. */
export interface Face {
  readonly n: Vec3
  readonly at: number
}

/** Bone between plane faces, for tooth 11 of `uprightPlan`: +x facial, +y mesial, +z apical. */
export interface SlabScene {
  readonly faces: readonly Face[]
  /** Teeth to both sides, planes at y = -wallMm and wallMm; none when absent. */
  readonly wallMm?: number
}

/** From the platform at the origin to the plane in which the channel leaves the crown, mm: clinical reference 12.3. */
export const EXIT_HEIGHT_MM = 14

/**
 * A site of plane faces with a meter that shoots every ray at them. Its exits lie in a plane 14 mm over the origin, the
 * edge line at x = 0; its bend is at the platform, in the plane of facial and oral alone.
 */
export function slabSite(scene: SlabScene, change: Partial<Plan> = {}): ExploredSite {
  const plan = uprightPlan(change)
  const model = scan()
  return {
    plan,
    model,
    surface: slabSurface(model, scene.faces),
    crown: placedCrown(plan),
    limits: resolveLimits(plan.site.tooth, plan.limits),
    meter: (shape = plan.fixture.shape) => slabMeter(scene, shape),
  }
}

const distanceIn = (faces: readonly Face[], p: Vec3): number =>
  Math.min(...faces.map(({ n, at }) => at - dot(n, p)))

let known: BoneModel | null = null

/** Any scan that calibrates itself: only its voxels' size counts here. */
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

function slabSurface(model: BoneModel, faces: readonly Face[]): SiteSurface {
  const shape: Vec3 = [61, 61, 121]
  const stepMm = 0.25
  const originMm: Vec3 = [-7.53, -7.46, -10.02]
  const [nx, ny, nz] = shape
  const distanceMm = Float32Array.from({ length: nx * ny * nz }, (_, node) => {
    const i = node % nx
    const j = Math.floor(node / nx) % ny
    const k = Math.floor(node / (nx * ny))
    return distanceIn(faces, [originMm[0] + stepMm * i, originMm[1] + stepMm * j, originMm[2] + stepMm * k])
  })
  const kinds = Uint8Array.from(distanceMm, (mm) => (mm > 0 ? NODE_BONE : NODE_OUTSIDE))
  return { model, originMm, stepMm, shape, distanceMm, kinds, hardness: kinds.map(() => 0) }
}

function slabMeter({ faces, wallMm }: SlabScene, shape: FixtureShape): PoseMeter {
  const profile = fixtureProfile(shape)
  // Between planes the least lies at the ends of the axis, at 0 or 180 degrees or where sectors meet.
  const grid = surfaceGrid(profile, 11, 24)
  const sectors = sectorsOf('11')
  const radiusMm = profile.greatestRadiusMm

  const bone = (pose: FixturePose): BoneAtPose => {
    const frame = fixtureFrame(pose, [1, 0, 0])
    const least = Object.fromEntries(sectors.map(({ name }) => [name, Number.POSITIVE_INFINITY]))
    let nearestMm = Number.POSITIVE_INFINITY
    for (const depthMm of grid.depthsMm)
      for (const angleDeg of grid.anglesDeg) {
        const direction = radialDirection(frame, angleDeg)
        const axis = axisPoint(frame, depthMm)
        const radius = radiusAtMm(profile, depthMm)
        nearestMm = Math.min(nearestMm, distanceIn(faces, along(axis, direction, radius)))
        const { name } = sectors.find((sector) => inSector(sector, angleDeg)) ?? sectors[0]
        for (const { n, at } of faces) {
          const climb = dot(n, direction)
          if (climb > 1e-9) least[name] = Math.min(least[name], (at - dot(n, axis)) / climb - radius)
        }
      }
    const radialMm = Math.min(...Object.values(least))
    return { sectors: least, radialMm, nearestMm, openShare: 0, graftMm3: Math.max(0, 2 - least.facial) }
  }

  const exit = ({ platform, apical: [x, y, z] }: FixturePose): ExitAtPose => {
    const offsetMm = platform[0] - (x / z) * (platform[2] + EXIT_HEIGHT_MM)
    return {
      class: offsetMm <= -1.5 ? 'palatal' : offsetMm >= 1.5 ? 'facial' : 'incisal',
      offsetMm,
      insideMm: -1.5 - offsetMm,
      tiltFacialDeg: degrees(Math.atan2(-x, z)),
      tiltMesialDeg: degrees(Math.atan2(-y, z)),
    }
  }

  const correctionDeg = (pose: FixturePose): number => {
    const { insideMm, tiltFacialDeg } = exit(pose)
    const heightMm = pose.platform[2] + EXIT_HEIGHT_MM
    const wantedDeg = degrees(Math.atan2(-1.5 - pose.platform[0], heightMm))
    return (insideMm ?? 0) >= 0 ? 0 : tiltFacialDeg - wantedDeg
  }

  return {
    shape,
    bone,
    exit,
    correctionDeg,
    correctionWithWallDeg: correctionDeg,
    wall: () => ({ leastMm: null, closedShare: 1 }),
    platform: ({ platform }) => ({
      belowMarginMm: platform[2] + 3.5,
      crownHeightMm: platform[2] + EXIT_HEIGHT_MM,
      rimOralMm: 0,
      steepestDeg: 0,
    }),
    clearanceMm: ({ platform, apical }) => {
      if (wallMm === undefined) return null
      const apexY = platform[1] + profile.lengthMm * apical[1]
      const reach = Math.max(Math.abs(platform[1]), Math.abs(apexY))
      return wallMm - reach - radiusMm * Math.sqrt(1 - apical[1] * apical[1])
    },
  }
}

const degrees = (radians: number): number => (radians * 180) / Math.PI
