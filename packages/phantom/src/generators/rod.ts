import { dot, normalize, type Vec3, type WorldPoint } from '@alveometer/core'
import { blurredDisc, tabulate } from './blurred.js'
import type { Field } from './field.js'
import { normalCdf } from './normal.js'

/** A cylinder of finite length: a hole through a plate, a pin. */
export interface Rod {
  readonly origin: WorldPoint
  readonly axis: Vec3
  readonly radiusMm: number
  /** Where it begins and ends along its axis, mm from the origin. */
  readonly fromMm: number
  readonly toMm: number
  readonly sigmaMm: number
}

/**
 * How much of a place a rod fills: `B2(r, R) (Phi((x - from) / s) - Phi((x - to) / s))`, r from its axis, x along it.
 * Exact, because a Gaussian is the product of one across and one along.
 */
export function blurredRod(rod: Rod): Field {
  const { origin, radiusMm, fromMm, toMm, sigmaMm } = rod
  const [ax, ay, az] = normalize(rod.axis)
  const shift = dot(origin, [ax, ay, az])
  const reach = radiusMm + 8 * sigmaMm
  const across = tabulate((r) => blurredDisc(r, radiusMm, sigmaMm), 0, reach, sigmaMm / 25)
  return (x, y, z) => {
    const along = ax * x + ay * y + az * z - shift
    if (along < fromMm - 8 * sigmaMm || along > toMm + 8 * sigmaMm) return 0
    const r = Math.hypot(x - origin[0] - along * ax, y - origin[1] - along * ay, z - origin[2] - along * az)
    if (r > reach) return 0
    return across(r) * (normalCdf((along - fromMm) / sigmaMm) - normalCdf((along - toMm) / sigmaMm))
  }
}
