import { blurVarianceMm2, LOW_DEVIATION } from './blur-correction.js'
import type { BoneModel } from './model.js'
import type { SiteGrid } from './site-surface-grid.js'
import { BY_GREY, BY_MASK, type SurfacePoints } from './site-surface-points.js'
import { LocalShape } from './site-surface-shape.js'
import { thinPlateShift } from './thin-plate.js'

const GREATEST_BEND_PER_MM = 1
/** Points between two pauses. */
const POINTS = 2000

/**
 * Moves the points from the low fall of the blurred grey inwards to the edge itself, by the known blur:
 * 1.175 S - thin - kappa S^2 / 2 along the normal, as correctForBlur does along rays. Bend, normal and a little of the
 * place are learned from the neighbouring points, so that noise is averaged. Points at masks get a normal only.
 */
export function* movedInwards(
  points: SurfacePoints,
  model: BoneModel,
  grid: SiteGrid,
): Generator<void, SurfacePoints> {
  const variance = blurVarianceMm2(model)
  const sigma = Math.sqrt(variance)
  const { count, kinds, peaks } = points
  const shape = new LocalShape(points, grid)
  yield
  const xyz = points.xyz.slice(0, 3 * count)
  const normals = points.normals.slice(0, 3 * count)
  for (let n = 0; n < count; n++) {
    if (n % POINTS === POINTS - 1) yield
    if (kinds[n] !== BY_GREY && kinds[n] !== BY_MASK) continue
    shape.learn(n)
    let out = 0
    if (kinds[n] === BY_GREY) {
      const bend = Math.max(-GREATEST_BEND_PER_MM, Math.min(GREATEST_BEND_PER_MM, shape.bend / grid.stepMm))
      const shiftMm = (LOW_DEVIATION - thinPlateShift(peaks[n])) * sigma - (bend * variance) / 2
      out = shape.out - shiftMm / grid.stepMm
    }
    xyz[3 * n] += out * shape.x
    xyz[3 * n + 1] += out * shape.y
    xyz[3 * n + 2] += out * shape.z
    normals[3 * n] = shape.x
    normals[3 * n + 1] = shape.y
    normals[3 * n + 2] = shape.z
  }
  points.xyz = xyz
  points.normals = normals
  return points
}
