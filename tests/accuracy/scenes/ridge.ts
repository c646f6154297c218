import {
  along,
  cross,
  distance,
  dot,
  fixtureProfile,
  scale,
  subtract,
  surfaceGrid,
  type Vec3,
  type Volume,
  type WorldPoint,
} from '@alveometer/core'
import {
  blurredBall,
  blurredOutline,
  blurredRod,
  correlatedNoise,
  createRandom,
  cubicGrid,
  ellipse,
  type Field,
  normalCdf,
  type Random,
  renderField,
  tabulate,
  whiteNoise,
} from '@alveometer/phantom'
import { ellipseExit } from '../truth/ellipse.js'
import type { TruthOfRay } from '../truth/ray-truth.js'
import { leaningFrame, type RayScene, randomAcross, randomDirection, randomShift } from './scene.js'

export interface RidgeOptions {
  readonly spacingMm: number
  readonly sigmaMm: number
  readonly noiseSd: number
  readonly textureSd: number
  /** The facial plate; the oral one is 1.9 mm, as thick cortex by which a scan calibrates itself. */
  readonly plateMm: number
  /** Voids in the marrow, grey -50: least and greatest diameter. */
  readonly voidsMm?: readonly [number, number]
  readonly voids?: number
  /** Holes of 0.8 mm through the facial plate. */
  readonly pinholes?: number
  /** Another bone so far beyond the facial plate. */
  readonly otherBoneMm?: number
  /** Gum of this thickness and then air. */
  readonly gumMm?: number
}

const SOFT = 50
const CORTEX = 1500
const MARROW = 400
const VOID = -50
const AIR = -1000
const OUTER = [4.5, 7.5] as const
const ORAL_MM = 1.9
const CREST_MM = 1.2
const SIZE_MM = 22
const PINHOLE_MM = 0.4

/** The ridge's own axes: u facial, v towards the crest, w along the arch. */
interface RidgePose {
  readonly origin: WorldPoint
  readonly u: Vec3
  readonly v: Vec3
  readonly w: Vec3
}

/**
 * A ridge 9 mm wide and 15 mm high in any pose, an ellipse drawn out along the arch, with voids in its marrow, holes in
 * its plate or bone beside it; a fixture of 4 x 7 mm stands in it, leaning by 5 degrees.
 */
export function ridgeScene(options: RidgeOptions, seed: string): RayScene {
  const random = createRandom(seed)
  const w = randomDirection(random)
  const u = randomAcross(random, w)
  const pose: RidgePose = { origin: randomShift(random, options.spacingMm), u, v: cross(w, u), w }
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 7 })
  const holes = Array.from({ length: options.pinholes ?? 0 }, () => facialPlace(random))
  return {
    profile,
    frame: leaningFrame(random, along(pose.origin, pose.v, 4), scale(pose.v, -1), 5),
    grid: surfaceGrid(profile, 16, 48),
    truth: ridgeTruth(pose, holes),
    volume: ridgeVolume(options, pose, holes, random, seed),
  }
}

/** How far from the middle of a hole its blur reaches what is measured: its radius, the blur and the disc. */
const BESIDE_HOLE_MM = 1.2

/** Thickness 0 stands for a hole close by, where no plate is to be measured. */
const ridgeTruth =
  ({ origin, u, v, w }: RidgePose, holes: readonly WorldPoint[]): TruthOfRay =>
  (start, direction) => {
    const from = subtract(start, origin)
    const [x, y, z] = [dot(from, u), dot(from, v), dot(from, w)]
    const [dx, dy, dz] = [dot(direction, u), dot(direction, v), dot(direction, w)]
    const distanceMm = ellipseExit(OUTER, [x, y], [dx, dy])
    const exit: WorldPoint = [x + distanceMm * dx, y + distanceMm * dy, z + distanceMm * dz]
    const besideHole = holes.some((hole) => distance(hole, exit) < BESIDE_HOLE_MM)
    return { distanceMm, thicknessMm: besideHole ? 0 : Number.NaN }
  }

/** Some place of the facial outer surface, in the ridge's own axes. */
function facialPlace(random: Random): WorldPoint {
  const v = 10 * (random.uniform() - 0.5)
  return [OUTER[0] * Math.sqrt(1 - (v / OUTER[1]) ** 2), v, 12 * (random.uniform() - 0.5)]
}

function ridgeVolume(
  options: RidgeOptions,
  pose: RidgePose,
  holes: readonly WorldPoint[],
  random: Random,
  seed: string,
): Volume {
  const { spacingMm, sigmaMm, noiseSd, textureSd, gumMm } = options
  const n = Math.round(SIZE_MM / spacingMm)
  const grid = cubicGrid([n, n, n], spacingMm, [0, 0, 0])
  const noise = whiteNoise(grid.shape, noiseSd, `${seed}/noise`)
  const texture = correlatedNoise(grid.shape, textureSd, 0.35 / spacingMm, `${seed}/texture`)
  const bone = outlineOf(OUTER, sigmaMm)
  const marrow = marrowOf(options.plateMm, sigmaMm)
  const gum = gumMm === undefined ? null : outlineOf([OUTER[0] + gumMm, OUTER[1] + gumMm], sigmaMm)
  const voids = voidField(options, random)
  const extras = [...holes.map((hole) => pinhole(hole, options)), ...otherBone(options)]
  let at = 0
  const field: Field = (x, y, z) => {
    const p: Vec3 = [x - pose.origin[0], y - pose.origin[1], z - pose.origin[2]]
    const u = dot(p, pose.u)
    const v = dot(p, pose.v)
    const w = dot(p, pose.w)
    const inMarrow = marrow(u, v)
    let grey = gum === null ? SOFT : AIR + (SOFT - AIR) * gum(u, v)
    grey += (CORTEX - SOFT) * bone(u, v)
    grey += (MARROW - CORTEX + texture[at++]) * inMarrow
    if (inMarrow > 0.01) grey += voids(u, v, w)
    for (const extra of extras) grey += extra(u, v, w)
    return grey
  }
  return renderField(field, grid, { noise })
}

/** Outlines take a second to draw and are the same for every seed. */
const outlines = new Map<string, (u: number, v: number) => number>()

function outlineOf([a, b]: readonly [number, number], sigmaMm: number): (u: number, v: number) => number {
  const key = `${a} ${b} ${sigmaMm}`
  const known = outlines.get(key)
  if (known !== undefined) return known
  const made = blurredOutline(ellipse(a, b), sigmaMm, Math.max(a, b) + 6 * sigmaMm)
  outlines.set(key, made)
  return made
}

/** The inner ellipse, shifted so that the facial plate has its thickness and the oral one 1.9 mm. */
function marrowOf(plateMm: number, sigmaMm: number): (u: number, v: number) => number {
  const half = OUTER[0] - (plateMm + ORAL_MM) / 2
  const outline = outlineOf([half, OUTER[1] - CREST_MM], sigmaMm)
  const shift = (ORAL_MM - plateMm) / 2
  return (u, v) => outline(u - shift, v)
}

/** Voids anywhere in the marrow, as far as it is wide; where two overlap the deeper counts. */
function voidField({ voidsMm, voids = 40, plateMm, sigmaMm }: RidgeOptions, random: Random): Field {
  if (voidsMm === undefined) return () => 0
  const [least, greatest] = voidsMm
  const inner = [OUTER[0] - (plateMm + ORAL_MM) / 2, OUTER[1] - CREST_MM] as const
  const shift = (ORAL_MM - plateMm) / 2
  const list = Array.from({ length: voids }, () => {
    const radius = (least + (greatest - least) * random.uniform()) / 2
    const angle = 2 * Math.PI * random.uniform()
    const out = Math.sqrt(random.uniform())
    return {
      radius,
      u: shift + Math.max(0.2, inner[0] - radius) * out * Math.cos(angle),
      v: Math.max(0.2, inner[1] - radius) * out * Math.sin(angle),
      w: 14 * (random.uniform() - 0.5),
      share: tabulate((r) => blurredBall(r, radius, sigmaMm), 0, radius + 6 * sigmaMm, sigmaMm / 25),
    }
  })
  return (u, v, w) => {
    let most = 0
    for (const hole of list) {
      const reach = hole.radius + 6 * sigmaMm
      const du = u - hole.u
      const dv = v - hole.v
      const dw = w - hole.w
      const square = du * du + dv * dv + dw * dw
      if (square < reach * reach) most = Math.max(most, hole.share(Math.sqrt(square)))
    }
    return (VOID - MARROW) * most
  }
}

/** A rod of soft tissue through the facial plate. */
function pinhole(place: WorldPoint, { plateMm, sigmaMm }: RidgeOptions): Field {
  const rod = blurredRod({
    ...{ origin: place, sigmaMm, radiusMm: PINHOLE_MM, fromMm: -plateMm, toMm: 0 },
    axis: [place[0] / OUTER[0] ** 2, place[1] / OUTER[1] ** 2, 0],
  })
  return (u, v, w) => (SOFT - CORTEX) * rod(u, v, w)
}

/** A half space of cortex beyond a gap of soft tissue. */
function otherBone({ otherBoneMm, sigmaMm }: RidgeOptions): Field[] {
  if (otherBoneMm === undefined) return []
  const face = OUTER[0] + otherBoneMm
  return [(u) => (CORTEX - SOFT) * normalCdf((u - face) / sigmaMm)]
}
