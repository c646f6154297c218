import type { Axis } from '../space/mesh-tree-axis.js'
import type { ChannelSurface } from './channel-surface.js'
import { crownEdges, looksAway, outlineEdges } from './crown-edges.js'
import { type Aside, LEAST_HEIGHT_MM } from './wanted-nearest.js'
import type { WantedZone } from './wanted-zone.js'

/** A border's place where a part of the zone may come into sight, and the ways off it that are worth a look. */
export interface Corner extends Aside {
  readonly tangent: number
  readonly ways: readonly Aside[]
}

/** Tangents from the axis, from one on and below the other. */
interface Ring {
  readonly from: number
  readonly to: number
}

/**
 * The places, nearest to the axis first, where the part of a zone that is in sight may come nearest to it. Its borders are
 * those of the zone and the outlines of the crown as seen from the axis' origin; it comes nearest either at the nearest
 * place of one of their lines or where two of them cross.
 */
export function cornersInSight(surface: ChannelSurface, zone: WantedZone, axis: Axis, ring: Ring): Corner[] {
  const edges = crownEdges(surface)
  const away = looksAway(edges, axis.origin)
  const outlines = new SeenLines(axis, ring)
  for (const n of outlineEdges(edges, away)) outlines.add(edges.ends, 6 * n)
  const borders = new SeenLines(axis, ring)
  zone.borderOf.forEach((t, n) => {
    if (away[t] === 1) borders.add(zone.border, 6 * n)
  })
  const corners: Corner[] = []
  for (const lines of [outlines.lines, borders.lines])
    for (let at = 0; at < lines.length; at += 4) pushNearest(corners, ring, lines, at)
  for (let at = 0; at < outlines.lines.length; at += 4) {
    pushCrossings(corners, ring, outlines.lines, at, borders.lines, 0)
    pushCrossings(corners, ring, outlines.lines, at, outlines.lines, at + 4)
  }
  return corners
    .sort((p, q) => p.tangent - q.tangent)
    .filter((p, n, all) => n === 0 || p.tangent - all[n - 1].tangent > 1e-12 || !isNear(p, all[n - 1]))
}

const isNear = (p: Aside, q: Aside): boolean => Math.abs(p.u - q.u) + Math.abs(p.v - q.v) < 1e-12

/** Lines as seen from an axis' origin, those that reach into a ring. */
class SeenLines {
  /** u and v of both ends. */
  readonly lines: number[] = []
  readonly #axis: Axis
  readonly #ring: Ring

  constructor(axis: Axis, ring: Ring) {
    this.#axis = axis
    this.#ring = ring
  }

  /** A line given by six coordinates; what of it lies behind the origin is not seen. */
  add(ends: Float64Array, at: number): void {
    const { origin, direction: d, u, v } = this.#axis
    const px = ends[at] - origin[0]
    const py = ends[at + 1] - origin[1]
    const pz = ends[at + 2] - origin[2]
    const qx = ends[at + 3] - origin[0]
    const qy = ends[at + 4] - origin[1]
    const qz = ends[at + 5] - origin[2]
    const heightP = px * d[0] + py * d[1] + pz * d[2]
    const heightQ = qx * d[0] + qy * d[1] + qz * d[2]
    if (!(Math.max(heightP, heightQ) > LEAST_HEIGHT_MM)) return
    const pu = px * u[0] + py * u[1] + pz * u[2]
    const pv = px * v[0] + py * v[1] + pz * v[2]
    const qu = qx * u[0] + qy * u[1] + qz * u[2]
    const qv = qx * v[0] + qy * v[1] + qz * v[2]
    const k = heightP < LEAST_HEIGHT_MM ? (LEAST_HEIGHT_MM - heightP) / (heightQ - heightP) : 0
    const m = heightQ < LEAST_HEIGHT_MM ? (LEAST_HEIGHT_MM - heightQ) / (heightP - heightQ) : 0
    const fromP = Math.max(heightP, LEAST_HEIGHT_MM)
    const fromQ = Math.max(heightQ, LEAST_HEIGHT_MM)
    const [au, av] = [(pu + k * (qu - pu)) / fromP, (pv + k * (qv - pv)) / fromP]
    const [bu, bv] = [(qu + m * (pu - qu)) / fromQ, (qv + m * (pv - qv)) / fromQ]
    const share = nearestShare(au, av, bu, bv)
    if (Math.hypot(au + share * (bu - au), av + share * (bv - av)) >= this.#ring.to) return
    if (Math.max(Math.hypot(au, av), Math.hypot(bu, bv)) < this.#ring.from) return
    this.lines.push(au, av, bu, bv)
  }
}

/** How far from its first end a line comes nearest to the axis. */
function nearestShare(au: number, av: number, bu: number, bv: number): number {
  const [wu, wv] = [bu - au, bv - av]
  const size = wu * wu + wv * wv
  return size > 0 ? Math.min(1, Math.max(0, -(au * wu + av * wv) / size)) : 0
}

/** Ways off a line's end, degrees from straight outwards. */
const WAYS_DEG = [0, 45, -45, 80, -80]

function pushNearest(corners: Corner[], ring: Ring, lines: readonly number[], at: number): void {
  const [au, av, bu, bv] = [lines[at], lines[at + 1], lines[at + 2], lines[at + 3]]
  const share = nearestShare(au, av, bu, bv)
  const [u, v] = [au + share * (bu - au), av + share * (bv - av)]
  const tangent = Math.hypot(u, v)
  if (!(tangent >= ring.from && tangent < ring.to)) return
  const outwards = Math.atan2(v, u)
  const ways = (share > 0 && share < 1 ? [0] : WAYS_DEG).map((deg) => {
    const angle = outwards + (deg * Math.PI) / 180
    return { u: Math.cos(angle), v: Math.sin(angle) }
  })
  corners.push({ u, v, tangent, ways })
}

/** Adds the crossings of a line with all from a place on of others. */
function pushCrossings(
  corners: Corner[],
  ring: Ring,
  lines: readonly number[],
  at: number,
  others: readonly number[],
  from: number,
): void {
  const [au, av] = [lines[at], lines[at + 1]]
  const [pu, pv] = [lines[at + 2] - au, lines[at + 3] - av]
  const [lowU, highU] = [Math.min(au, au + pu), Math.max(au, au + pu)]
  const [lowV, highV] = [Math.min(av, av + pv), Math.max(av, av + pv)]
  for (let n = from; n < others.length; n += 4) {
    const cu = others[n]
    const du = others[n + 2]
    if ((cu < lowU && du < lowU) || (cu > highU && du > highU)) continue
    const cv = others[n + 1]
    const dv = others[n + 3]
    if ((cv < lowV && dv < lowV) || (cv > highV && dv > highV)) continue
    const qu = du - cu
    const qv = dv - cv
    const turn = pu * qv - pv * qu
    if (turn === 0) continue
    const s = ((cu - au) * qv - (cv - av) * qu) / turn
    const t = ((cu - au) * pv - (cv - av) * pu) / turn
    if (!(s >= 0 && s <= 1 && t >= 0 && t <= 1)) continue
    const place = { u: au + s * pu, v: av + s * pv }
    const tangent = Math.hypot(place.u, place.v)
    if (tangent >= ring.from && tangent < ring.to)
      corners.push({ ...place, tangent, ways: waysBetween(place, unit(pu, pv), unit(qu, qv)) })
  }
}

/** The ways that halve the angles between two lines, as far as they lead outwards. */
function waysBetween(place: Aside, p: Aside, q: Aside): Aside[] {
  const one = unit(p.u + q.u, p.v + q.v)
  const two = unit(p.u - q.u, p.v - q.v)
  return [one, two, { u: -one.u, v: -one.v }, { u: -two.u, v: -two.v }].filter(
    ({ u, v }) => u * place.u + v * place.v >= 0,
  )
}

function unit(u: number, v: number): Aside {
  const size = Math.hypot(u, v)
  return size > 0 ? { u: u / size, v: v / size } : { u: 0, v: 0 }
}
