import {
  along,
  cross,
  dot,
  fixtureProfile,
  scale,
  subtract,
  surfaceGrid,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'
import {
  blurredOutline,
  createRandom,
  cubicGrid,
  ellipse,
  extrude,
  type Outline,
  renderField,
  wedge,
  whiteNoise,
} from '@alveometer/phantom'
import { ellipseDistance } from '../truth/ellipse.js'
import { wedgeDistance } from '../truth/wedge.js'
import { leaningFrame, type RayScene, randomAcross, randomDirection, randomShift } from './scene.js'

export interface ExtrudedOptions {
  readonly shape: 'ellipse' | 'wedge'
  readonly spacingMm: number
  readonly sigmaMm: number
  readonly noiseSd: number
}

/** A scene and the shortest distance from any point inside to its outer surface, mm. */
export interface NearestScene extends Omit<RayScene, 'truth'> {
  readonly nearest: (point: WorldPoint) => number
}

const SOFT = 50
const CORTEX = 1500
const MARROW = 400
const PLATE_MM = 1.6
const ELLIPSE = [4.2, 7] as const
const WEDGE_DEG = 24
const SIZE_MM = 24

/**
 * An ellipse of 4.2 x 7 mm half axes with the fixture along it, or a knife-edged ridge of 24 degrees to either side with the
 * fixture hanging below its edge; plates of 1.6 mm, any pose, the fixture of 4 x 7 mm (wedge: 3 x 7) leaning by 5 degrees.
 */
export function extrudedScene(options: ExtrudedOptions, seed: string): NearestScene {
  const { shape, spacingMm, noiseSd } = options
  const random = createRandom(seed)
  const w = randomDirection(random)
  const u = randomAcross(random, w)
  const v = cross(w, u)
  const origin = randomShift(random, spacingMm)
  const pose = { origin, axis: w, u }
  const isEllipse = shape === 'ellipse'
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: isEllipse ? 4 : 3, lengthMm: 7 })
  const down = isEllipse ? w : scale(v, -1)
  const aside = 0.4 * (random.uniform() - 0.5)
  const platform = along(along(origin, down, -3.5), u, aside)
  const n = Math.round(SIZE_MM / spacingMm)
  const grid = cubicGrid([n, n, n], spacingMm, [0, 0, 0])
  const [outer, inner] = outlinesOf(options)
  const bone = extrude(outer, { ...pose, greyInside: CORTEX - SOFT, greyOutside: 0 })
  const marrow = extrude(inner, { ...pose, greyInside: MARROW - CORTEX, greyOutside: 0 })
  return {
    profile,
    frame: leaningFrame(random, platform, down, 5),
    grid: surfaceGrid(profile, 29, 72),
    volume: renderField((x, y, z) => SOFT + bone(x, y, z) + marrow(x, y, z), grid, {
      noise: whiteNoise(grid.shape, noiseSd, `${seed}/noise`),
    }),
    nearest: nearestIn(shape, origin, u, v),
  }
}

/** Of the wedge, how far its edge lies above the middle of the scan. */
const EDGE_MM = 8

function nearestIn(shape: ExtrudedOptions['shape'], origin: WorldPoint, u: Vec3, v: Vec3) {
  return (point: WorldPoint): number => {
    const p = subtract(point, origin)
    const [x, y] = [dot(p, u), dot(p, v)]
    return shape === 'ellipse' ? ellipseDistance(ELLIPSE, [x, y]) : wedgeDistance(WEDGE_DEG, [x, y - EDGE_MM])
  }
}

/** Outlines take seconds to draw and are the same for every seed. */
const drawn = new Map<string, readonly [Coverage, Coverage]>()
type Coverage = (u: number, v: number) => number

function outlinesOf({ shape, sigmaMm }: ExtrudedOptions): readonly [Coverage, Coverage] {
  const key = `${shape} ${sigmaMm}`
  const known = drawn.get(key)
  if (known !== undefined) return known
  const [outer, inner, reach] = shapes(shape)
  const made = [blurredOutline(outer, sigmaMm, reach), blurredOutline(inner, sigmaMm, reach)] as const
  drawn.set(key, made)
  return made
}

/** Outer and inner outline, and how far they must be drawn. The inner wedge lies deeper by plate / sin(half angle). */
function shapes(shape: ExtrudedOptions['shape']): readonly [Outline, Outline, number] {
  if (shape === 'ellipse')
    return [ellipse(...ELLIPSE), ellipse(ELLIPSE[0] - PLATE_MM, ELLIPSE[1] - PLATE_MM), 10]
  const deeper = PLATE_MM / Math.sin((WEDGE_DEG * Math.PI) / 180)
  const edge = wedge(WEDGE_DEG)
  return [(u, v) => edge(u, v - EDGE_MM), (u, v) => edge(u, v - EDGE_MM + deeper), 17]
}
