import { cross, dot, type Mesh, type Vec3 } from '@alveometer/core'

/** How a body is looked at, in its own coordinates: unit directions of the picture, and its scale. */
export interface ReliefView {
  readonly right: Vec3
  readonly down: Vec3
  readonly pixelsPerMm: number
}

/** A body seen in parallel view: a picture just large enough for it. */
export interface Relief extends ReliefView {
  /** The direction looked along. */
  readonly into: Vec3
  readonly width: number
  readonly height: number
  /** Of the picture's upper left corner, along right and down, mm. */
  readonly leftMm: number
  readonly topMm: number
  /** Along the direction looked along, mm, row by row; Infinity beside the body. */
  readonly depthMm: Float32Array
  /** Light that reaches the eye: 0 dark to 1; 0 beside the body. */
  readonly light: Float32Array
}

/** Free pixels round the body. */
const borderPx = 2
/** Towards the lamp, right, down and towards the viewer: from the upper left, as shading in technical drawings has it. */
const lamp = [-0.36, -0.48, 0.8] as const
const ambient = 0.3

/**
 * The visible surface of a closed mesh, wound outward, by a depth buffer; light after Lambert, from the normals at the
 * vertices (three numbers each, unit length).
 */
export function relief(mesh: Mesh, normals: Float32Array, view: ReliefView): Relief {
  const { right, down, pixelsPerMm } = view
  const into = cross(right, down)
  const count = mesh.positions.length / 3
  const u = new Float32Array(count)
  const v = new Float32Array(count)
  const w = new Float32Array(count)
  const lit = new Float32Array(count)
  let [left, top, rightmost, lowest] = [Infinity, Infinity, -Infinity, -Infinity]
  const { positions: p, triangles } = mesh
  for (let n = 0, at = 0; n < count; n++, at += 3) {
    const [x, y, z] = [p[at], p[at + 1], p[at + 2]]
    u[n] = x * right[0] + y * right[1] + z * right[2]
    v[n] = x * down[0] + y * down[1] + z * down[2]
    w[n] = x * into[0] + y * into[1] + z * into[2]
    left = Math.min(left, u[n])
    rightmost = Math.max(rightmost, u[n])
    top = Math.min(top, v[n])
    lowest = Math.max(lowest, v[n])
    const [nx, ny, nz] = [normals[at], normals[at + 1], normals[at + 2]]
    const towardsLamp =
      lamp[0] * (nx * right[0] + ny * right[1] + nz * right[2]) +
      lamp[1] * (nx * down[0] + ny * down[1] + nz * down[2]) -
      lamp[2] * (nx * into[0] + ny * into[1] + nz * into[2])
    lit[n] = ambient + (1 - ambient) * Math.max(0, towardsLamp)
  }
  const width = Math.ceil((rightmost - left) * pixelsPerMm) + 2 * borderPx
  const height = Math.ceil((lowest - top) * pixelsPerMm) + 2 * borderPx
  const leftMm = left - borderPx / pixelsPerMm
  const topMm = top - borderPx / pixelsPerMm
  const depthMm = new Float32Array(width * height).fill(Infinity)
  const light = new Float32Array(width * height)
  for (let n = 0; n < count; n++) {
    u[n] = (u[n] - leftMm) * pixelsPerMm - 0.5
    v[n] = (v[n] - topMm) * pixelsPerMm - 0.5
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    const area = (u[b] - u[a]) * (v[c] - v[a]) - (v[b] - v[a]) * (u[c] - u[a])
    // Wound outward, a face towards the viewer turns the other way round here, as rows count downwards.
    if (!(area < 0)) continue
    const [firstX, lastX] = [Math.ceil(Math.min(u[a], u[b], u[c])), Math.floor(Math.max(u[a], u[b], u[c]))]
    const [firstY, lastY] = [Math.ceil(Math.min(v[a], v[b], v[c])), Math.floor(Math.max(v[a], v[b], v[c]))]
    // Shares of b and c grow evenly along a row and down a column.
    const [bx, by] = [(v[c] - v[a]) / area, -(u[c] - u[a]) / area]
    const [cx, cy] = [-(v[b] - v[a]) / area, (u[b] - u[a]) / area]
    const [wb, wc, lb, lc] = [w[b] - w[a], w[c] - w[a], lit[b] - lit[a], lit[c] - lit[a]]
    for (let y = firstY; y <= lastY; y++) {
      const row = y * width
      const [x0, y0] = [firstX - u[a], y - v[a]]
      let shareB = x0 * bx + y0 * by
      let shareC = x0 * cx + y0 * cy
      for (let x = firstX; x <= lastX; x++, shareB += bx, shareC += cx) {
        // A hair outside counts as inside: no gaps between neighbours.
        if (shareB < -1e-4 || shareC < -1e-4 || shareB + shareC > 1.0001) continue
        const depth = w[a] + shareB * wb + shareC * wc
        if (depth >= depthMm[row + x]) continue
        depthMm[row + x] = depth
        light[row + x] = lit[a] + shareB * lb + shareC * lc
      }
    }
  }
  return { ...view, into, width, height, leftMm, topMm, depthMm, light }
}

/** How far behind the surface a point may lie and still pass for one of the surface, mm. */
const skinMm = 0.2

/** Whether the body hides a point, both in its own coordinates. What lies on the surface is not hidden. */
export function hides(seen: Relief, point: Vec3): boolean {
  const { right, down, into, width, height } = seen
  const x = Math.floor((dot(point, right) - seen.leftMm) * seen.pixelsPerMm)
  const y = Math.floor((dot(point, down) - seen.topMm) * seen.pixelsPerMm)
  let furthest = -Infinity
  for (let j = y - 1; j <= y + 1; j++)
    for (let i = x - 1; i <= x + 1; i++) {
      if (i < 0 || j < 0 || i >= width || j >= height) return false
      furthest = Math.max(furthest, seen.depthMm[j * width + i])
    }
  return dot(point, into) > furthest + skinMm
}
