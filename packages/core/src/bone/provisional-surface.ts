import { cross, dot, toIndex, type Vec3, type WorldPoint } from '../space/index.js'
import { boxAround, type IndexSampler } from '../volume/index.js'
import { INSIDE, OUTSIDE } from './exterior.js'
import { boneThreshold } from './levels.js'
import type { BoneModel } from './model.js'
import { NODE_BONE, NODE_OUTSIDE, NODE_UNSCANNED, type SiteSurface } from './site-surface-result.js'
import { thinPlateShift } from './thin-plate.js'

/** An LPS box, mm. */
export interface SiteRegion {
  readonly lowMm: Vec3
  readonly highMm: Vec3
}

export const SITE_STEP_MM = 0.3
const LOW_DEVIATION = 1.17498679206609

export function siteSurface(model: BoneModel, region: SiteRegion): SiteSurface {
  const run = siteSurfaceSteps(model, region)
  let step = run.next()
  while (!step.done) step = run.next()
  return step.value
}

export function* siteSurfaceSteps(
  model: BoneModel,
  { lowMm, highMm }: SiteRegion,
): Generator<number, SiteSurface> {
  const stepMm = SITE_STEP_MM
  const shape = [0, 1, 2].map((a) => Math.ceil((highMm[a] - lowMm[a]) / stepMm) + 1) as unknown as Vec3
  const [nx, ny, nz] = shape
  const count = nx * ny * nz
  const { volume, exterior, calibration } = model
  const m = volume.worldToIndex
  const box = boxAround(
    volume,
    [0, 1, 2, 3, 4, 5, 6, 7].map(
      (c) => [0, 1, 2].map((a) => (((c >> a) & 1) === 0 ? lowMm[a] : highMm[a])) as unknown as WorldPoint,
    ),
    2,
  )
  const kinds = new Uint8Array(count).fill(NODE_UNSCANNED)
  const distanceMm = new Float32Array(count).fill(Number.NaN)
  const hardness = new Uint8Array(count)
  const surface = { model, originMm: lowMm, stepMm, shape, distanceMm, kinds, hardness }
  if (box === null) return surface
  const sample: IndexSampler = model.smoothed(box)
  // Grid step in index space.
  const o = toIndex(m, lowMm as WorldPoint)
  const gi = [m[0] * stepMm, m[1] * stepMm, m[2] * stepMm] as const
  const gj = [m[4] * stepMm, m[5] * stepMm, m[6] * stepMm] as const
  const gk = [m[8] * stepMm, m[9] * stepMm, m[10] * stepMm] as const
  const [cx, cy, cz] = exterior.shape
  const [sx, sy, sz] = exterior.step
  const index = (i: number, j: number, k: number): Vec3 => [
    o[0] + i * gi[0] + j * gj[0] + k * gk[0],
    o[1] + i * gi[1] + j * gj[1] + k * gk[1],
    o[2] + i * gi[2] + j * gj[2] + k * gk[2],
  ]
  const softs = softGrid(model, index, shape)
  const raw = new Float32Array(count).fill(Number.NaN)
  const low = new Float32Array(count)
  let n = 0
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const x = o[0] + i * gi[0] + j * gj[0] + k * gk[0]
        const y = o[1] + i * gi[1] + j * gj[1] + k * gk[1]
        const z = o[2] + i * gi[2] + j * gj[2] + k * gk[2]
        const ci = Math.floor(x / sx + 0.5)
        const cj = Math.floor(y / sy + 0.5)
        const ck = Math.floor(z / sz + 0.5)
        if (ci >= 0 && cj >= 0 && ck >= 0 && ci < cx && cj < cy && ck < cz) {
          const cell = exterior.cells[ci + cx * (cj + cy * ck)]
          kinds[n] = cell === OUTSIDE ? NODE_OUTSIDE : cell === INSIDE ? NODE_BONE : NODE_UNSCANNED
        }
        const v = sample(x, y, z)
        raw[n] = v
        const soft = softs(i, j, k)
        low[n] = boneThreshold(soft, calibration.cortexGrey)
        const share = (v - soft) / (calibration.cortexGrey - soft)
        hardness[n] = share > 0 ? Math.min(255, Math.round(64 * share)) : 0
      }
    if (k % 8 === 0) yield (0.3 * k) / nz
  }
  settle(kinds, raw, low, shape)
  yield 0.4
  const points: number[] = []
  const normals: number[] = []
  const nearest = new Int32Array(count).fill(-1)
  const h2 = volume.spacingMm.reduce((sum, h) => sum + h * h, 0) / 3
  const variance = calibration.psfSigmaMm ** 2 + model.smoothingMm ** 2 + h2 / 6
  const sigma = Math.sqrt(variance)
  const phiAt = (i: number, j: number, k: number): number => {
    const p = index(i, j, k)
    return sample(p[0], p[1], p[2]) - boneThreshold(softs(i, j, k), calibration.cortexGrey)
  }
  const greyAt = (i: number, j: number, k: number): number => {
    const p = index(i, j, k)
    return sample(p[0], p[1], p[2])
  }
  const normalAt = (i: number, j: number, k: number): Vec3 | null => {
    const e = 0.56
    const x = greyAt(i - e, j, k) - greyAt(i + e, j, k)
    const y = greyAt(i, j - e, k) - greyAt(i, j + e, k)
    const z = greyAt(i, j, k - e) - greyAt(i, j, k + e)
    const size = Math.hypot(x, y, z)
    return size > 1e-9 ? [x / size, y / size, z / size] : null
  }
  const addSample = (bone: number, at: Vec3, normal: Vec3, shift: number, other: number): void => {
    const id = points.length / 3
    points.push(
      at[0] - (shift * normal[0]) / stepMm,
      at[1] - (shift * normal[1]) / stepMm,
      at[2] - (shift * normal[2]) / stepMm,
    )
    normals.push(normal[0], normal[1], normal[2])
    near(bone, id)
    near(other, id)
  }
  const near = (node: number, id: number): void => {
    const now = nearest[node]
    if (now < 0 || square(node, id) < square(node, now)) nearest[node] = id
  }
  const square = (node: number, id: number): number => {
    const i = node % nx
    const j = Math.floor(node / nx) % ny
    const k = Math.floor(node / (nx * ny))
    return (points[3 * id] - i) ** 2 + (points[3 * id + 1] - j) ** 2 + (points[3 * id + 2] - k) ** 2
  }
  const strides = [1, nx, nx * ny] as const
  n = 0
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++)
        for (const axis of [0, 1, 2] as const) {
          if ([i, j, k][axis] + 1 >= shape[axis]) continue
          const other = n + strides[axis]
          if (kinds[n] === kinds[other] || (kinds[n] !== NODE_BONE && kinds[other] !== NODE_BONE)) continue
          const [bone, out] = kinds[n] === NODE_BONE ? [n, other] : [other, n]
          const boneAt: Vec3 = kinds[n] === NODE_BONE ? [i, j, k] : moved([i, j, k], axis, 1)
          const sign = kinds[n] === NODE_BONE ? 1 : -1
          const along = (t: number): Vec3 => moved(boneAt, axis, sign * t)
          const middle = along(0.5)
          const straight: Vec3 = [0, 0, 0].map((_, a) => (a === axis ? sign : 0)) as unknown as Vec3
          if (kinds[out] === NODE_UNSCANNED) {
            addSample(bone, middle, straight, 0, out)
            continue
          }
          let a = 0
          let b = 1
          let fa = phiAt(...along(0))
          let fb = phiAt(...along(1))
          if (!(fa >= 0 && fb < 0)) {
            addSample(bone, middle, straight, 0, out)
            continue
          }
          for (let turn = 0; turn < 6; turn++) {
            const t = turn % 2 === 0 ? a + ((b - a) * fa) / (fa - fb) : (a + b) / 2
            const f = phiAt(...along(t))
            if (f >= 0) {
              a = t
              fa = f
            } else {
              b = t
              fb = f
            }
          }
          const at = along(a + ((b - a) * fa) / (fa - fb))
          const normal = normalAt(...at)
          if (normal === null) {
            addSample(bone, at, straight, 0, out)
            continue
          }
          const soft = softs(...at)
          let peak = 0
          for (let t = 0; t <= 1.2; t += 0.1)
            peak = Math.max(
              peak,
              greyAt(
                at[0] - (t * normal[0]) / stepMm,
                at[1] - (t * normal[1]) / stepMm,
                at[2] - (t * normal[2]) / stepMm,
              ),
            )
          const share = (peak - soft) / (calibration.cortexGrey - soft)
          const bend = curvature(normalAt, at, normal, stepMm)
          addSample(
            bone,
            at,
            normal,
            (LOW_DEVIATION - thinPlateShift(share)) * sigma - (bend * variance) / 2,
            out,
          )
        }
    if (k % 4 === 0) yield 0.4 + (0.3 * k) / nz
  }
  const px = Float64Array.from(points)
  const pn = Float64Array.from(normals)
  yield* sweep(nearest, px, shape)
  n = 0
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const id = nearest[n]
        if (id < 0) {
          distanceMm[n] = kinds[n] === NODE_BONE ? 99 : -99
          continue
        }
        const dx = px[3 * id] - i
        const dy = px[3 * id + 1] - j
        const dz = px[3 * id + 2] - k
        const full = Math.sqrt(dx * dx + dy * dy + dz * dz)
        const off = dx * pn[3 * id] + dy * pn[3 * id + 1] + dz * pn[3 * id + 2]
        const lateral = Math.sqrt(Math.max(0, full * full - off * off))
        const d = lateral < 1 ? Math.abs(off) : full
        const inside = lateral < 1 ? off > 0 : kinds[n] === NODE_BONE
        distanceMm[n] = stepMm * (inside && kinds[n] !== NODE_UNSCANNED ? d : -d)
        if (kinds[n] === NODE_BONE && !inside) kinds[n] = NODE_OUTSIDE
      }
    if (k % 8 === 0) yield 0.95
  }
  return surface
}

const moved = (at: Vec3, axis: 0 | 1 | 2, by: number): Vec3 => [
  at[0] + (axis === 0 ? by : 0),
  at[1] + (axis === 1 ? by : 0),
  at[2] + (axis === 2 ? by : 0),
]

function curvature(
  normalAt: (i: number, j: number, k: number) => Vec3 | null,
  at: Vec3,
  normal: Vec3,
  stepMm: number,
): number {
  const across: Vec3 = Math.abs(normal[0]) < 0.7 ? [1, 0, 0] : [0, 1, 0]
  const u0 = cross(normal, across)
  const size = Math.hypot(...u0)
  const u: Vec3 = [u0[0] / size, u0[1] / size, u0[2] / size]
  const v = cross(normal, u)
  let sum = 0
  const e = 0.5 / stepMm
  for (const t of [u, v]) {
    const a = normalAt(at[0] + e * t[0], at[1] + e * t[1], at[2] + e * t[2])
    const b = normalAt(at[0] - e * t[0], at[1] - e * t[1], at[2] - e * t[2])
    if (a === null || b === null) continue
    sum += dot([a[0] - b[0], a[1] - b[1], a[2] - b[2]], t)
  }
  return Math.max(-1, Math.min(1, sum))
}

/** Soft level on a grid of 1 mm, blended between. */
function softGrid(
  model: BoneModel,
  index: (i: number, j: number, k: number) => Vec3,
  shape: Vec3,
): (i: number, j: number, k: number) => number {
  const every = 4
  const size = shape.map((n) => Math.ceil((n - 1) / every) + 2) as unknown as Vec3
  const values = new Float64Array(size[0] * size[1] * size[2])
  let n = 0
  for (let k = 0; k < size[2]; k++)
    for (let j = 0; j < size[1]; j++)
      for (let i = 0; i < size[0]; i++, n++)
        values[n] = model.softAt(...index(i * every, j * every, k * every))
  return (i, j, k) => {
    const x = Math.max(0, i / every)
    const y = Math.max(0, j / every)
    const z = Math.max(0, k / every)
    const i0 = Math.min(size[0] - 2, Math.floor(x))
    const j0 = Math.min(size[1] - 2, Math.floor(y))
    const k0 = Math.min(size[2] - 2, Math.floor(z))
    const a = i0 + size[0] * (j0 + size[1] * k0)
    const at = (d: number) => values[a + d] + (values[a + d + 1] - values[a + d]) * (x - i0)
    const row = size[0]
    const plane = size[0] * size[1]
    const v0 = at(0) + (at(row) - at(0)) * (y - j0)
    const v1 = at(plane) + (at(plane + row) - at(plane)) * (y - j0)
    return v0 + (v1 - v0) * (z - k0)
  }
}

/** Moves the border between bone and outside to where the grey falls: see the march. */
function settle(kinds: Uint8Array, raw: Float32Array, low: Float32Array, shape: Vec3): void {
  const [nx, ny, nz] = shape
  const strides = [1, -1, nx, -nx, nx * ny, -nx * ny]
  const inner = (n: number) => {
    const i = n % nx
    const j = Math.floor(n / nx) % ny
    const k = Math.floor(n / (nx * ny))
    return i > 0 && j > 0 && k > 0 && i < nx - 1 && j < ny - 1 && k < nz - 1
  }
  const grow = (from: number, to: number, passes: (n: number) => boolean, steps: number): void => {
    let front: number[] = []
    for (let n = 0; n < kinds.length; n++) {
      if (kinds[n] !== from || !passes(n) || !inner(n)) continue
      if (strides.some((s) => kinds[n + s] === to)) front.push(n)
    }
    const seen = new Uint8Array(kinds.length)
    for (const n of front) seen[n] = 1
    const turned: number[] = []
    for (let step = 0; step < steps && front.length > 0; step++) {
      const next: number[] = []
      for (const n of front) {
        turned.push(n)
        for (const s of strides) {
          const m = n + s
          if (seen[m] === 1 || kinds[m] !== from || !passes(m) || !inner(m)) continue
          seen[m] = 1
          next.push(m)
        }
      }
      front = next
    }
    for (const n of turned) kinds[n] = to
  }
  grow(NODE_OUTSIDE, NODE_BONE, (n) => raw[n] >= low[n], 3)
  grow(NODE_BONE, NODE_OUTSIDE, (n) => raw[n] < low[n], 4)
}

/** Spreads the nearest sample over all nodes. */
function* sweep(nearest: Int32Array, points: Float64Array, shape: Vec3): Generator<number> {
  const [nx, ny, nz] = shape
  const offsets: (readonly [number, number, number])[] = []
  for (let k = -1; k <= 1; k++)
    for (let j = -1; j <= 1; j++)
      for (let i = -1; i <= 1; i++)
        if (k < 0 || (k === 0 && (j < 0 || (j === 0 && i < 0)))) offsets.push([i, j, k])
  for (let turn = 0; turn < 4; turn++) {
    const forward = turn % 2 === 0
    for (let kk = 0; kk < nz; kk++) {
      const k = forward ? kk : nz - 1 - kk
      for (let jj = 0; jj < ny; jj++) {
        const j = forward ? jj : ny - 1 - jj
        for (let ii = 0; ii < nx; ii++) {
          const i = forward ? ii : nx - 1 - ii
          const n = i + nx * (j + ny * k)
          let best = nearest[n]
          let bestSquare = Number.POSITIVE_INFINITY
          if (best >= 0)
            bestSquare =
              (points[3 * best] - i) ** 2 + (points[3 * best + 1] - j) ** 2 + (points[3 * best + 2] - k) ** 2
          for (const [di, dj, dk] of offsets) {
            const a = forward ? i + di : i - di
            const b = forward ? j + dj : j - dj
            const c = forward ? k + dk : k - dk
            if (a < 0 || b < 0 || c < 0 || a >= nx || b >= ny || c >= nz) continue
            const id = nearest[a + nx * (b + ny * c)]
            if (id < 0 || id === best) continue
            const dx = points[3 * id] - i
            const dy = points[3 * id + 1] - j
            const dz = points[3 * id + 2] - k
            const square = dx * dx + dy * dy + dz * dz
            if (square < bestSquare) {
              bestSquare = square
              best = id
            }
          }
          nearest[n] = best
        }
      }
      if (kk % 8 === 0) yield 0.7 + 0.06 * turn
    }
  }
}
