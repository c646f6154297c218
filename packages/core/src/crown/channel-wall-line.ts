import type { Vec3 } from '../space/index.js'
import { along, dot, subtract } from '../space/index.js'
import { axisCoordinates, onAxis } from '../space/mesh-tree-axis.js'
import type { WallAt } from './channel-result.js'
import type { ChannelRun, WallLine } from './channel-run.js'

/** The wall of a channel as its lines tell it: a tube with an uneven lower and upper end. */
interface Tube {
  readonly run: ChannelRun
  /** Points of the two ends in turn, u, v and height; lines that miss the crown left out. */
  readonly ends: readonly (readonly Vec3[])[]
}

/**
 * From a channel's wall to a line on the crown, given in the crown frame: the least distance to the tube between entry
 * and outline, its rims taken as 72 straight pieces each; negative, rho - r, where the line runs inside the tube or
 * above its opening.
 */
export function wallToLine(
  run: ChannelRun,
  line: { readonly points: readonly Vec3[]; readonly closed: boolean },
): WallAt {
  const tube = tubeOf(run)
  const points = line.points.map((p) => axisCoordinates(run.axis, p))
  const places = points.map((p) => toTube(tube, p))
  const last = line.closed ? points.length : points.length - 1
  for (let n = 0; n < last; n++) {
    const a = points[n]
    const b = points[(n + 1) % points.length]
    places.push(toTube(tube, nearestInPlane(a, b)))
    for (const end of tube.ends)
      for (let k = 0; k < end.length; k++) places.push(betweenPieces(a, b, end[k], end[(k + 1) % end.length]))
  }
  const best = places.reduce((least, place) => (place.mm < least.mm ? place : least))
  return { mm: best.mm, at: onAxis(run.axis, ...best.at) }
}

/** From a channel's wall to a point of the crown frame: as `wallToLine`. */
export const wallToPoint = (run: ChannelRun, point: Vec3): WallAt =>
  wallToLine(run, { points: [point, point], closed: false })

function tubeOf(run: ChannelRun): Tube {
  const met = run.lines.flatMap((line) => line ?? [])
  const lines = met.length > 0 ? met : [run.middle]
  const end = (height: (line: WallLine) => number) =>
    lines.map((line): Vec3 => [line.u, line.v, height(line)])
  return { run, ends: [end((line) => line.entryMm), end((line) => line.exitMm)] }
}

/** From the tube to one point, both along its axis; a point beyond the ends is nearest to a rim, which others look at. */
function toTube({ run }: Tube, at: Vec3): WallAt {
  const [u, v, height] = at
  const rho = Math.hypot(u, v)
  const turn = (Math.atan2(v, u) / (2 * Math.PI)) * run.lines.length
  const n = Math.round(turn + run.lines.length) % run.lines.length
  const line = run.lines[n] ?? run.middle
  const beside = height >= line.entryMm && (rho < run.radiusMm || height <= line.exitMm)
  return { mm: beside ? rho - run.radiusMm : Number.POSITIVE_INFINITY, at }
}

/** The point of a piece that is nearest to the axis. */
function nearestInPlane(a: Vec3, b: Vec3): Vec3 {
  const [wu, wv] = subtract(b, a)
  const size = wu * wu + wv * wv
  return along(a, subtract(b, a), size > 0 ? clamp(-(a[0] * wu + a[1] * wv) / size) : 0)
}

/** The distance of two straight pieces, and the place on the first (Ericson 2005, 5.1.9). */
function betweenPieces(a: Vec3, b: Vec3, c: Vec3, d: Vec3): WallAt {
  const p = subtract(b, a)
  const q = subtract(d, c)
  const r = subtract(a, c)
  const pp = dot(p, p)
  const qq = dot(q, q)
  const pq = dot(p, q)
  const pr = dot(p, r)
  const qr = dot(q, r)
  const parallel = pp * qq - pq * pq
  let s = parallel > 1e-12 * pp * qq ? clamp((pq * qr - pr * qq) / parallel) : 0
  let t = qq > 0 ? (pq * s + qr) / qq : 0
  if (t < 0 || t > 1) {
    t = clamp(t)
    s = pp > 0 ? clamp((pq * t - pr) / pp) : 0
  }
  const at = along(a, p, s)
  const off = subtract(at, along(c, q, t))
  return { mm: Math.sqrt(dot(off, off)), at }
}

const clamp = (k: number): number => Math.min(1, Math.max(0, k))
