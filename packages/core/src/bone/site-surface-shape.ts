import type { SiteGrid } from './site-surface-grid.js'
import { BY_GREY, type SurfacePoints } from './site-surface-points.js'

/** Neighbours nearer than this say how the surface lies and bends, the nearer ones more: own measurement on noisy shells. */
const REACH_MM = 1.2
/** Of a neighbour that looks another way nothing is learned: the other face of a plate. */
const LEAST_COSINE = 0.5
const LEAST_NEIGHBOURS = 6

/** The surface about a point as its neighbours have it: a quadric, fitted by weighted least squares. */
export class LocalShape {
  /** Sum of the principal curvatures, positive where convex, per unit of the grid. */
  bend = 0
  /** How far the surface lies out from the point, along the point's own normal, in units of the grid. */
  out = 0
  /** Outward normal. */
  x = 0
  y = 0
  z = 0
  readonly #points: SurfacePoints
  readonly #shape: readonly number[]
  readonly #reach: number
  /** The first point of each node or of one after it. */
  readonly #first: Int32Array

  constructor(points: SurfacePoints, { shape, stepMm }: SiteGrid) {
    this.#points = points
    this.#shape = shape
    this.#reach = REACH_MM / stepMm
    const nodes = shape[0] * shape[1] * shape[2]
    this.#first = new Int32Array(nodes + 1)
    for (let node = 0, p = 0; node <= nodes; node++) {
      while (p < points.count && points.homes[p] < node) p++
      this.#first[node] = p
    }
  }

  /** About a point, from its neighbours of the same kind. */
  learn(n: number): void {
    const { xyz, normals, kinds } = this.#points
    const kind = kinds[n]
    const px = xyz[3 * n]
    const py = xyz[3 * n + 1]
    const pz = xyz[3 * n + 2]
    const nx = normals[3 * n]
    const ny = normals[3 * n + 1]
    const nz = normals[3 * n + 2]
    // Two directions across the normal.
    const flat = Math.abs(nx) < 0.6
    const size = flat ? Math.sqrt(ny * ny + nz * nz) : Math.sqrt(nx * nx + nz * nz)
    const ux = flat ? 0 : -nz / size
    const uy = flat ? nz / size : 0
    const uz = flat ? -ny / size : nx / size
    const vx = ny * uz - nz * uy
    const vy = nz * ux - nx * uz
    const vz = nx * uy - ny * ux
    let count = 0
    let w = 0
    let wu = 0
    let wv = 0
    let wuu = 0
    let wuv = 0
    let wvv = 0
    let wh = 0
    let whu = 0
    let whv = 0
    let wa = 0
    let wb = 0
    let wau = 0
    let wav = 0
    let wbu = 0
    let wbv = 0
    const [sx, sy, sz] = this.#shape
    const first = this.#first
    const reach = this.#reach
    const squaredReach = reach * reach
    const i0 = Math.max(0, Math.floor(px - reach) - 1)
    const i1 = Math.min(sx - 1, Math.floor(px + reach) + 1)
    const j0 = Math.max(0, Math.floor(py - reach))
    const j1 = Math.min(sy - 1, Math.floor(py + reach) + 1)
    const k0 = Math.max(0, Math.floor(pz - reach))
    const k1 = Math.min(sz - 1, Math.floor(pz + reach) + 1)
    for (let k = k0; k <= k1; k++)
      for (let j = j0; j <= j1; j++) {
        const row = sx * (j + sy * k)
        const end = first[row + i1 + 1]
        for (let m = first[row + i0]; m < end; m++) {
          if (kinds[m] !== kind) continue
          const dx = xyz[3 * m] - px
          const dy = xyz[3 * m + 1] - py
          const dz = xyz[3 * m + 2] - pz
          const squared = dx * dx + dy * dy + dz * dz
          if (squared > squaredReach) continue
          const mx = normals[3 * m]
          const my = normals[3 * m + 1]
          const mz = normals[3 * m + 2]
          const cosine = mx * nx + my * ny + mz * nz
          if (cosine < LEAST_COSINE) continue
          // Where the surface bends sharply only the nearest neighbours lie on one quadric.
          const agreement = cosine * cosine * cosine * cosine
          const closeness = 1 - squared / squaredReach
          const weight = closeness * closeness * agreement * agreement
          const u = dx * ux + dy * uy + dz * uz
          const v = dx * vx + dy * vy + dz * vz
          const h = dx * nx + dy * ny + dz * nz
          const a = mx * ux + my * uy + mz * uz
          const b = mx * vx + my * vy + mz * vz
          count++
          w += weight
          wu += weight * u
          wv += weight * v
          wuu += weight * u * u
          wuv += weight * u * v
          wvv += weight * v * v
          wh += weight * h
          whu += weight * h * u
          whv += weight * h * v
          wa += weight * a
          wb += weight * b
          wau += weight * a * u
          wav += weight * a * v
          wbu += weight * b * u
          wbv += weight * b * v
        }
      }
    this.bend = 0
    this.out = 0
    this.x = nx
    this.y = ny
    this.z = nz
    const cuu = wuu - (wu * wu) / w
    const cuv = wuv - (wu * wv) / w
    const cvv = wvv - (wv * wv) / w
    const determinant = cuu * cvv - cuv * cuv
    if (count < LEAST_NEIGHBOURS || !(determinant > 1e-4 * w * w)) return
    let turnU: number
    let turnV: number
    if (kind === BY_GREY) {
      // How the normal turns: (a, b) = (turnU, turnV) + A (u, v).
      const au = wau - (wa * wu) / w
      const av = wav - (wa * wv) / w
      const bu = wbu - (wb * wu) / w
      const bv = wbv - (wb * wv) / w
      const auu = (au * cvv - av * cuv) / determinant
      const auv = (av * cuu - au * cuv) / determinant
      const avu = (bu * cvv - bv * cuv) / determinant
      const avv = (bv * cuu - bu * cuv) / determinant
      this.bend = auu + avv
      turnU = (wa - auu * wu - auv * wv) / w
      turnV = (wb - avu * wu - avv * wv) / w
      const sag = 0.5 * (auu * wuu + (auv + avu) * wuv + avv * wvv)
      this.out = (wh + sag + turnU * wu + turnV * wv) / w
    } else {
      // Along an edge into a mask only its place is known: h = c - turnU u - turnV v.
      const hu = whu - (wh * wu) / w
      const hv = whv - (wh * wv) / w
      turnU = -(hu * cvv - hv * cuv) / determinant
      turnV = -(hv * cuu - hu * cuv) / determinant
    }
    const x = nx + turnU * ux + turnV * vx
    const y = ny + turnU * uy + turnV * vy
    const z = nz + turnU * uz + turnV * vz
    const length = Math.sqrt(x * x + y * y + z * z)
    this.x = x / length
    this.y = y / length
    this.z = z / length
  }
}
