import {
  add,
  dot,
  normalize,
  perpendicularTo,
  scale,
  subtract,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'
import type { TruthOfRay } from './ray-truth.js'

export interface EccentricCylinder {
  readonly origin: WorldPoint
  readonly axis: Vec3
  readonly towards: Vec3
  readonly outerMm: number
  readonly innerMm: number
  readonly eccentricityMm: number
}

/**
 * A ray p + r d from inside leaves a cylinder of radius R about the axis c where |perp(p - c + r d)| = R: the greater
 * root of a quadratic. The plate there is R - (e cos q + sqrt(Ri^2 - e^2 sin^2 q)), q from the direction of the shift e.
 */
export function cylinderTruth(it: EccentricCylinder): TruthOfRay {
  const axis = normalize(it.axis)
  const towards = perpendicularTo(it.towards, axis)
  const across = (v: Vec3): Vec3 => subtract(v, scale(axis, dot(v, axis)))
  return (start, direction) => {
    const p = across(subtract(start, it.origin))
    const d = across(direction)
    const a = dot(d, d)
    const b = dot(d, p)
    const distanceMm = (-b + Math.sqrt(b * b - a * (dot(p, p) - it.outerMm ** 2))) / a
    const hit = add(p, scale(d, distanceMm))
    const cosine = dot(hit, towards) / it.outerMm
    const e = it.eccentricityMm
    const inner = e * cosine + Math.sqrt(it.innerMm ** 2 - e * e * (1 - cosine * cosine))
    return { distanceMm, thicknessMm: it.outerMm - inner }
  }
}
