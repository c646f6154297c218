import {
  cross,
  fromFrame,
  invert,
  type Mat4,
  normalize,
  perpendicularTo,
  transformPoint,
  type WorldPoint,
} from '@alveometer/core'
import { type ArchPoint, toArch } from './arch.js'
import { createJaw, type JawSample, type Ridge } from './jaw.js'
import { createTeeth, type Tooth, type ToothSample } from './tooth.js'

/** Gap between root and socket wall, and the wall's dense lining, mm. */
export const ligamentMm = 0.2
export const liningMm = 0.3

/** The scene's anatomy: closed-form distances at any point, in LPS mm through `jawToWorld`. */
export interface Anatomy {
  readonly jawToWorld: Mat4
  readonly worldToJaw: Mat4
  readonly teeth: readonly Tooth[]
  /** Fills `arch` and `jaw` for a point of the jaw's frame. */
  readonly sample: (x: number, y: number, z: number, arch: ArchPoint, jaw: JawSample) => void
}

/** The head is never straight in the scanner: a small turn, nod and tilt, so that no surface runs along a voxel row. */
function headPose(origin: WorldPoint): Mat4 {
  const z = normalize([0.022, -0.045, 1])
  const x = perpendicularTo([1, 0.034, 0], z)
  return fromFrame(x, cross(z, x), z, origin)
}

export function createAnatomy(ridge: Ridge, origin: WorldPoint): Anatomy {
  const jawToWorld = headPose(origin)
  const jaw = createJaw(ridge)
  return {
    jawToWorld,
    worldToJaw: invert(jawToWorld),
    teeth: createTeeth(),
    sample: (x, y, z, arch, out) => {
      toArch(x, y, arch)
      jaw(x, y, z, arch, out)
    },
  }
}

export const emptyJaw = (): JawSample => ({ bone: 0, marrow: 0, canal: 0, soft: 0, fat: 0, suture: 9 })
export const emptyTooth = (): ToothSample => ({ outer: 0, dentine: 0, pulp: 0, height: 0 })

/** What the analytic functions say about one world point; distances in mm, negative inside. */
export interface PointAnatomy {
  readonly bone: number
  readonly marrow: number
  readonly canal: number
  /** To the nearest tooth including its ligament. */
  readonly tooth: number
}

/** Slow but complete answer at a world point; a tooth's ligament counts as tooth. */
export function anatomyAt(anatomy: Anatomy, point: WorldPoint): PointAnatomy {
  const [x, y, z] = transformPoint(anatomy.worldToJaw, point)
  const jaw = emptyJaw()
  anatomy.sample(x, y, z, { s: 0, t: 0 }, jaw)
  const sample = emptyTooth()
  let tooth = Number.POSITIVE_INFINITY
  for (const one of anatomy.teeth) {
    const [cx, cy, cz] = one.centre
    if ((x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2 > one.radius ** 2) continue
    one.sample(x, y, z, sample)
    tooth = Math.min(tooth, sample.outer - (sample.height > -1 ? ligamentMm : 0))
  }
  return { bone: jaw.bone, marrow: jaw.marrow, canal: jaw.canal, tooth }
}
