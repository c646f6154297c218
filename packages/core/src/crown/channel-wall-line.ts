import type { Vec3 } from '../space/index.js'
import { along, subtract } from '../space/index.js'
import { axisCoordinates, onAxis } from '../space/mesh-tree-axis.js'
import type { WallAt } from './channel-result.js'
import type { ChannelRun, WallLine } from './channel-run.js'

/**
 * From a channel's wall to a line on the crown, given in the crown frame: the least distance to the tube between entry
 * and outline, its rims taken as 72 straight pieces each; negative, rho - r, where the line runs inside the tube or
 * above its opening.
 */
export function wallToLine(
  run: ChannelRun,
  line: { readonly points: readonly Vec3[]; readonly closed: boolean },
): WallAt {
  const rims = rimsOf(run)
  const points = line.points.map((p) => axisCoordinates(run.axis, p))
  const best: Best = { mm: Number.POSITIVE_INFINITY, at: [0, 0, 0] }
  for (const point of points) toTube(best, run, point)
  const last = line.closed ? points.length : points.length - 1
  for (let n = 0; n < last; n++) {
    const a = points[n]
    const b = points[(n + 1) % points.length]
    toTube(best, run, nearestInPlane(a, b))
    for (const rim of rims)
      for (let k = 0; k < rim.length; k++) toPiece(best, a, b, rim[k], rim[(k + 1) % rim.length])
  }
  return { mm: best.mm, at: onAxis(run.axis, ...best.at) }
}

/** From a channel's wall to a point of the crown frame: as `wallToLine`. */
export const wallToPoint = (run: ChannelRun, point: Vec3): WallAt =>
  wallToLine(run, { points: [point, point], closed: false })

/** The two ends of the wall, u, v and height; lines that miss the crown left out. */
function rimsOf(run: ChannelRun): readonly (readonly Vec3[])[] {
  const met = run.lines.flatMap((line) => line ?? [])
  const lines = met.length > 0 ? met : [run.middle]
  const rim = (height: (line: WallLine) => number) =>
    lines.map((line): Vec3 => [line.u, line.v, height(line)])
  return [rim((line) => line.entryMm), rim((line) => line.exitMm)]
}

/** The nearest place found so far. */
interface Best {
  mm: number
  at: Vec3
}

/** From the tube to one point beside it, inside it or above it; one beyond its ends is nearest to a rim. */
function toTube(best: Best, run: ChannelRun, at: Vec3): void {
  const [u, v, height] = at
  const rho = Math.hypot(u, v)
  const turn = (Math.atan2(v, u) / (2 * Math.PI)) * run.lines.length
  const line = run.lines[Math.round(turn + run.lines.length) % run.lines.length] ?? run.middle
  const beside = height >= line.entryMm && (rho < run.radiusMm || height <= line.exitMm)
  if (!beside || rho - run.radiusMm >= best.mm) return
  best.mm = rho - run.radiusMm
  best.at = at
}

/** The point of a piece that is nearest to the axis. */
function nearestInPlane(a: Vec3, b: Vec3): Vec3 {
  const [wu, wv] = subtract(b, a)
  const size = wu * wu + wv * wv
  return along(a, subtract(b, a), size > 0 ? clamp(-(a[0] * wu + a[1] * wv) / size) : 0)
}

/** From the piece a b to a piece c d of a rim (Ericson 2005, 5.1.9). */
function toPiece(best: Best, a: Vec3, b: Vec3, c: Vec3, d: Vec3): void {
  const [px, py, pz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]]
  const [qx, qy, qz] = [d[0] - c[0], d[1] - c[1], d[2] - c[2]]
  const [rx, ry, rz] = [a[0] - c[0], a[1] - c[1], a[2] - c[2]]
  const pp = px * px + py * py + pz * pz
  const qq = qx * qx + qy * qy + qz * qz
  // No nearer than their first points less both lengths.
  const far = best.mm + Math.sqrt(pp) + Math.sqrt(qq)
  if (far <= 0 || rx * rx + ry * ry + rz * rz >= far * far) return
  const pq = px * qx + py * qy + pz * qz
  const pr = px * rx + py * ry + pz * rz
  const qr = qx * rx + qy * ry + qz * rz
  const parallel = pp * qq - pq * pq
  let s = parallel > 1e-12 * pp * qq ? clamp((pq * qr - pr * qq) / parallel) : 0
  let t = qq > 0 ? (pq * s + qr) / qq : 0
  if (t < 0 || t > 1) {
    t = clamp(t)
    s = pp > 0 ? clamp((pq * t - pr) / pp) : 0
  }
  const [ox, oy, oz] = [rx + s * px - t * qx, ry + s * py - t * qy, rz + s * pz - t * qz]
  const mm = Math.sqrt(ox * ox + oy * oy + oz * oz)
  if (mm >= best.mm) return
  best.mm = mm
  best.at = [a[0] + s * px, a[1] + s * py, a[2] + s * pz]
}

const clamp = (k: number): number => Math.min(1, Math.max(0, k))
