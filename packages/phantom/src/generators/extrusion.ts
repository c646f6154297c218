import { cross, dot, normalize, perpendicularTo, type Vec3, type WorldPoint } from '@alveometer/core'
import type { Field } from './field.js'

/** A 2-D coverage drawn out along an axis. */
export interface Extrusion {
  /** Where u = v = 0. */
  readonly origin: WorldPoint
  readonly axis: Vec3
  /** Direction of u, made perpendicular to the axis; v = axis x u. */
  readonly u: Vec3
  readonly greyInside: number
  readonly greyOutside: number
}

/** Grey field of a blurred outline (see `blurredOutline`, `blurredDisc`) extruded along an axis of any direction. */
export function extrude(coverage: (u: number, v: number) => number, extrusion: Extrusion): Field {
  const axis = normalize(extrusion.axis)
  const u = perpendicularTo(extrusion.u, axis)
  const v = cross(axis, u)
  const shiftU = dot(extrusion.origin, u)
  const shiftV = dot(extrusion.origin, v)
  const { greyInside, greyOutside } = extrusion
  return (x, y, z) =>
    greyOutside +
    (greyInside - greyOutside) *
      coverage(u[0] * x + u[1] * y + u[2] * z - shiftU, v[0] * x + v[1] * y + v[2] * z - shiftV)
}
