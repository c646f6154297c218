import { add, scale, subtract, type Vec3 } from '@alveometer/core'

/** Least squares line through points numbered 0, 1, 2 ...: point i is about origin + i step. */
export function fitLine(points: readonly Vec3[]): { readonly origin: Vec3; readonly step: Vec3 } {
  const n = points.length
  const middle = (n - 1) / 2
  let mean: Vec3 = [0, 0, 0]
  let slope: Vec3 = [0, 0, 0]
  let weight = 0
  points.forEach((p, i) => {
    mean = add(mean, scale(p, 1 / n))
    slope = add(slope, scale(p, i - middle))
    weight += (i - middle) ** 2
  })
  const step = scale(slope, weight > 0 ? 1 / weight : 0)
  return { origin: subtract(mean, scale(step, middle)), step }
}
