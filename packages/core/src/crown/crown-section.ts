import type { Mat4, Polyline, Vec3 } from '../space/index.js'
import { invert, sliceMesh, transformDirection, transformPoint } from '../space/index.js'
import type { Crown } from './crown.js'

/**
 * The outline of a placed crown in a plane: closed lines in LPS mm. `pose` maps the crown frame to LPS.
 * @throws RangeError when the normal has no length or the pose has no inverse.
 */
export function crownSection(
  crown: Crown,
  pose: Mat4,
  plane: { readonly origin: Vec3; readonly normal: Vec3 },
): Polyline[] {
  const toCrown = invert(pose)
  const lines = sliceMesh(
    crown.mesh,
    transformPoint(toCrown, plane.origin),
    transformDirection(toCrown, plane.normal),
  )
  return lines.map(({ points, closed }) => ({ points: points.map((p) => transformPoint(pose, p)), closed }))
}
