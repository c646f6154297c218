import { cross, distance, dot, normalize, subtract, type Vec3 } from '../space/index.js'
import type { CylinderMask, Solid, Span } from './masks-solid.js'

/** @throws RangeError when it has no length or no radius. */
export function cylinderSolid({ fromMm, toMm, radiusMm }: CylinderMask): Solid {
  const lengthMm = distance(fromMm, toMm)
  if (!(lengthMm > 0 && radiusMm > 0) || !Number.isFinite(lengthMm * radiusMm))
    throw new RangeError(`a mask cylinder needs a length and a radius; got ${lengthMm} and ${radiusMm} mm`)
  const axis = normalize(subtract(toMm, fromMm))
  // How far a disc across the axis reaches along each coordinate.
  const reach = axis.map((c) => radiusMm * Math.sqrt(Math.max(0, 1 - c * c)))
  return {
    low: reach.map((r, a) => Math.min(fromMm[a], toMm[a]) - r) as unknown as Vec3,
    high: reach.map((r, a) => Math.max(fromMm[a], toMm[a]) + r) as unknown as Vec3,
    spans(origin, direction) {
      const from = subtract(origin, fromMm)
      const ends = betweenEnds(dot(from, axis), dot(direction, axis), lengthMm)
      const mantle = withinMantle(cross(from, axis), cross(direction, axis), radiusMm)
      if (ends === null || mantle === null) return []
      const enter = Math.max(ends.enter, mantle.enter)
      const leave = Math.min(ends.leave, mantle.leave)
      return enter <= leave ? [{ enter, leave }] : []
    },
  }
}

const EVERYWHERE: Span = { enter: Number.NEGATIVE_INFINITY, leave: Number.POSITIVE_INFINITY }

/** Where 0 <= height + t rise <= length. */
function betweenEnds(height: number, rise: number, length: number): Span | null {
  if (rise === 0) return height >= 0 && height <= length ? EVERYWHERE : null
  const a = -height / rise
  const b = (length - height) / rise
  return { enter: Math.min(a, b), leave: Math.max(a, b) }
}

/** Where |from + t step| <= radius, both across the axis. */
function withinMantle(from: Vec3, step: Vec3, radius: number): Span | null {
  const a = dot(step, step)
  const c = dot(from, from) - radius * radius
  if (a < 1e-24) return c <= 0 ? EVERYWHERE : null
  const b = dot(from, step)
  const root = b * b - a * c
  if (root < 0) return null
  return { enter: (-b - Math.sqrt(root)) / a, leave: (-b + Math.sqrt(root)) / a }
}
