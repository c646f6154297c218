import type { Mat4, Mesh, Vec3 } from '../space/index.js'
import { angleDeg, column, cross, dot, fromFrame, multiply, transformPoint } from '../space/index.js'
import type { Crown } from './crown.js'
import { principalAxes } from './registration-axes.js'
import type { Cloud } from './registration-cloud.js'
import { middleOf, surfaceCloud } from './registration-cloud.js'
import { type Fit, fitStep } from './registration-fit.js'

/** One way in which a model crown may lie in a mesh. */
export interface Registered extends Fit {
  /** Root mean square distance between the two, both ways, share of the mesh's root-mean-square radius. */
  readonly misfit: number
  /** The same in the mesh's unit. */
  readonly misfitMm: number
}

const COARSE_POINTS = 160
const COARSE_STEPS = 4
/** So many of the starts are followed for as many steps more. */
const CONTINUED = 32
const FINE_POINTS = 420
const FINE_STEPS = 14
/** So many of the coarse fits are followed. */
const FOLLOWED = 8
/** What is left is held against each other on so many more points. */
const RIVALS = 4
const RIVAL_POINTS = 1200
const RIVAL_STEPS = 3
/** Two fits whose axes differ by less are one, degrees. */
const SAME_DEG = 30

/**
 * How a model crown may lie in a mesh, the best first, no two within 30 degrees of each other: fits from 96 turns of
 * the mesh's principal axes. `cervical`: a direction that is known to run roughly apically, in the mesh's coordinates.
 * @throws RangeError when the mesh has no surface.
 */
export function registerCrown(mesh: Mesh, model: Crown, cervical: Vec3 | null): Registered[] {
  const outside = (t: number) => model.regions[t] !== 'base'
  const clouds = (count: number) => ({
    mesh: surfaceCloud(mesh, count, () => true),
    model: surfaceCloud(model.mesh, count, outside),
  })
  const coarse = clouds(COARSE_POINTS)
  const fine = clouds(FINE_POINTS)
  const { centre, radius } = middleOf(fine.mesh)
  const size = radius / middleOf(fine.model).radius
  const starts = turns(principalAxes(fine.mesh.points, centre)).filter(
    (turn) => cervical === null || dot(column(turn, 2), cervical) > 0.5,
  )
  const begun = starts
    .map((turn) => followed(coarse, started(turn, centre, fine.model, size), radius, COARSE_STEPS))
    .sort(byMisfit)
  const rough = begun
    .slice(0, CONTINUED)
    .map((fit) => followed(coarse, fit, radius, COARSE_STEPS))
    .sort(byMisfit)
  const best = distinct(rough, 15).slice(0, FOLLOWED)
  const fits = best.map((fit) => followed(fine, fit, radius, FINE_STEPS)).sort(byMisfit)
  const rivals = clouds(RIVAL_POINTS)
  return distinct(fits, SAME_DEG)
    .slice(0, RIVALS)
    .map((fit) => followed(rivals, fit, radius, RIVAL_STEPS))
    .sort(byMisfit)
}

const byMisfit = (a: Registered, b: Registered): number => a.misfit - b.misfit

/** The model's middle on the mesh's middle. */
function started(turn: Mat4, centre: Vec3, model: Cloud, size: number): Fit {
  const { centre: own } = middleOf(model)
  const at = transformPoint(turn, [size * own[0], size * own[1], size * own[2]])
  return {
    pose: fromFrame(column(turn, 0), column(turn, 1), column(turn, 2), [
      centre[0] - at[0],
      centre[1] - at[1],
      centre[2] - at[2],
    ]),
    scale: [size, size, size],
  }
}

function followed(
  clouds: { readonly mesh: Cloud; readonly model: Cloud },
  from: Fit,
  radius: number,
  steps: number,
): Registered {
  let fit = from
  for (let i = 0; i < steps; i++) fit = fitStep(clouds, fit, radius).fit
  const { misfit } = fitStep(clouds, fit, radius)
  return { ...fit, misfit, misfitMm: misfit * radius }
}

/** Those of sorted fits that do not repeat a better one. */
function distinct(sorted: readonly Registered[], withinDeg: number): Registered[] {
  const kept: Registered[] = []
  for (const fit of sorted)
    if (!kept.some((other) => turnBetweenDeg(fit.pose, other.pose) < withinDeg)) kept.push(fit)
  return kept
}

/** Angle of the one turn that takes the axes of one matrix to those of the other, degrees. */
export function turnBetweenDeg(a: Mat4, b: Mat4): number {
  const trace = ([0, 1, 2] as const).reduce<number>((sum, c) => sum + dot(column(a, c), column(b, c)), 0)
  return (Math.acos(Math.max(-1, Math.min(1, (trace - 1) / 2))) * 180) / Math.PI
}

/** The 24 turns of a cube onto itself, and those with an eighth of a turn about each of its axes before. */
function turns([x, y, z]: readonly [Vec3, Vec3, Vec3]): Mat4[] {
  const half = Math.SQRT1_2
  const eighths = [
    fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0]),
    fromFrame([1, 0, 0], [0, half, half], [0, -half, half], [0, 0, 0]),
    fromFrame([half, 0, -half], [0, 1, 0], [half, 0, half], [0, 0, 0]),
    fromFrame([half, half, 0], [-half, half, 0], [0, 0, 1], [0, 0, 0]),
  ]
  const signed = [x, y, z].flatMap((axis): Vec3[] => [axis, [-axis[0], -axis[1], -axis[2]]])
  const cube = signed.flatMap((a) =>
    signed
      .filter((b) => Math.abs(angleDeg(a, b) - 90) < 1)
      .map((b) => fromFrame(a, b, cross(a, b), [0, 0, 0])),
  )
  return cube.flatMap((turn) => eighths.map((eighth) => multiply(turn, eighth)))
}
