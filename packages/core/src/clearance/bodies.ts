import { along, cross, distance, type Mesh, normalize, scale, subtract, type Vec3 } from '../space/index.js'

/** A body with flat ends, LPS mm. */
export interface RoundBody {
  readonly fromMm: Vec3
  readonly toMm: Vec3
  readonly radiusMm: number
}

/** Something a fixture must keep clear of: a closed mesh (a tooth, say) or a cylinder (a fixture already there), LPS mm. */
export type Body = Mesh | RoundBody

/** Points on a body's surface lie no farther apart: a distance d read off them is too large by less than 0.01 / d mm. */
const APART_MM = 0.2

/** Points all over the surface of a body, xyz LPS mm. */
export function surfacePoints(body: Body): number[] {
  return 'triangles' in body ? meshPoints(body) : cylinderPoints(body)
}

function meshPoints({ positions, triangles }: Mesh): number[] {
  const points: number[] = []
  const at = (corner: number): Vec3 => [
    positions[3 * corner],
    positions[3 * corner + 1],
    positions[3 * corner + 2],
  ]
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [at(triangles[t]), at(triangles[t + 1]), at(triangles[t + 2])]
    const [u, v] = [subtract(b, a), subtract(c, a)]
    const steps = Math.max(1, Math.ceil(Math.max(distance(a, b), distance(b, c), distance(c, a)) / APART_MM))
    for (let i = 0; i <= steps; i++)
      for (let j = 0; i + j <= steps; j++) points.push(...along(along(a, u, i / steps), v, j / steps))
  }
  return points
}

function cylinderPoints({ fromMm, toMm, radiusMm }: RoundBody): number[] {
  const axis = normalize(subtract(toMm, fromMm))
  const across: Vec3 = Math.abs(axis[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0]
  const u = normalize(cross(axis, across))
  const v = cross(axis, u)
  const lengthMm = distance(fromMm, toMm)
  const points: number[] = []
  const ring = (depthMm: number, radius: number): void => {
    const count = Math.max(1, Math.ceil((2 * Math.PI * radius) / APART_MM))
    for (let n = 0; n < count; n++) {
      const angle = (2 * Math.PI * n) / count
      const outward = along(scale(u, radius * Math.cos(angle)), v, radius * Math.sin(angle))
      points.push(...along(along(fromMm, axis, depthMm), outward, 1))
    }
  }
  const rows = Math.ceil(lengthMm / APART_MM)
  for (let n = 0; n <= rows; n++) ring((lengthMm * n) / rows, radiusMm)
  const rings = Math.ceil(radiusMm / APART_MM)
  for (let n = 0; n < rings; n++) {
    ring(0, (radiusMm * n) / rings)
    ring(lengthMm, (radiusMm * n) / rings)
  }
  return points
}
