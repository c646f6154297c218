/** Three numbers. Readonly: functions return new tuples, hot loops use locals. */
export type Vec3 = readonly [number, number, number]

/** A point in DICOM patient space: left, posterior, superior, millimetres. */
export type WorldPoint = Vec3 & { readonly __space?: 'world' }

/** A point in index space: integer = voxel centre, x fastest. Not interchangeable with a world point. */
export type IndexPoint = Vec3 & { readonly __space?: 'index' }

export const add = (a: Vec3, b: Vec3): [number, number, number] => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]

export const subtract = (a: Vec3, b: Vec3): [number, number, number] => [
  a[0] - b[0],
  a[1] - b[1],
  a[2] - b[2],
]

export const scale = (a: Vec3, k: number): [number, number, number] => [a[0] * k, a[1] * k, a[2] * k]

/** `a + k b`: the point at distance k along direction b from a. */
export const along = (a: Vec3, b: Vec3, k: number): [number, number, number] => [
  a[0] + b[0] * k,
  a[1] + b[1] * k,
  a[2] + b[2] * k,
]

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

export const cross = (a: Vec3, b: Vec3): [number, number, number] => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]

export const length = (a: Vec3): number => Math.sqrt(dot(a, a))

export const distance = (a: Vec3, b: Vec3): number => length(subtract(a, b))

/**
 * The unit vector along a.
 * @throws RangeError when a has no length or is not finite.
 */
export function normalize(a: Vec3): [number, number, number] {
  const size = length(a)
  if (!(size > 1e-12) || !Number.isFinite(size)) throw new RangeError(`cannot normalize [${a.join(', ')}]`)
  return scale(a, 1 / size)
}

/**
 * The part of `a` perpendicular to the unit vector `axis`, made a unit vector.
 * @throws RangeError when a is parallel to the axis.
 */
export const perpendicularTo = (a: Vec3, axis: Vec3): [number, number, number] =>
  normalize(along(a, axis, -dot(a, axis)))

/** Angle between two directions, degrees, 0 to 180. Accurate near 0 and 180. */
export const angleDeg = (a: Vec3, b: Vec3): number =>
  (Math.atan2(length(cross(a, b)), dot(a, b)) * 180) / Math.PI
