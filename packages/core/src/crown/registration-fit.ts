import type { Mat4, Vec3 } from '../space/index.js'
import { column, cross, fromFrame, invert, normalize, subtract, transformPoint } from '../space/index.js'
import type { Cloud } from './registration-cloud.js'
import { movedCloud, nearestIn } from './registration-cloud.js'
import { leastSquares } from './registration-solve.js'

/** A guess of how a model crown lies in a mesh: model points times `scale`, then `pose`, are points of the mesh. */
export interface Fit {
  /** Crown frame to the mesh's coordinates; turns and moves only. */
  readonly pose: Mat4
  /** Of the model's three axes. */
  readonly scale: Vec3
}

/** The mesh as points, and the model's surface without its base. */
export interface FitClouds {
  readonly mesh: Cloud
  readonly model: Cloud
}

// Lengths below are shares of a crown's root-mean-square radius, about 4 mm. All are own choices, tried on scanned crowns.

/** A normal turned by 90 degrees counts like 1.4 times this distance. */
const NORMAL = 0.35
/** Pairs further apart than this hardly count: parts that the model does not have. */
const ROBUST = 0.25
/** A surface that faces apically by more than 60 degrees of tilt is taken for the cervical cap. */
const CAP_FACING = 0.5
/** Share of point-to-point in the step, against sliding along flat faces. */
const POINT_SHARE = 0.1
/** How much of a pair's distance along the surface, and of its normals' difference, counts for the misfit. */
const ALONG = 0.3
/** Usual spread of the three scales about their mean, as a share. */
const SCALE_SPREAD = 0.12
/** What a model point beyond the mesh's cervical cap costs, so that a crown does not hide in a corner of the model. */
const BEYOND = 0.1

/** One step of the fit and how well the guess before it lay. */
export interface Step {
  readonly fit: Fit
  /** Root mean square distance of robust pairs, both ways, with what the scales' spread costs; share of the radius. */
  readonly misfit: number
}

/**
 * A Gauss-Newton step of point-to-plane fitting (Chen and Medioni 1992) with three scales, on pairs that agree in place
 * and normal, from the mesh to the model and back. What faces apically in the mesh is its cervical cap, cut anywhere:
 * it is held against a smooth surface through itself, not against the model, and the model beyond it is left out.
 */
export function fitStep({ mesh, model }: FitClouds, fit: Fit, radius: number): Step {
  const here = movedCloud(mesh, invert(fit.pose), 1)
  const scaled = stretched(model, fit.scale)
  const cap = capOf(here, radius)
  const normalMm = NORMAL * radius
  const robust = (ROBUST * radius) ** 2
  const system = leastSquares(9)
  let cost = 0
  let weight = 0

  const pair = (i: number, j: number) => {
    const u = 3 * i
    const q = 3 * j
    const { points: p, normals: pn } = here
    const { points: m, normals: mn } = scaled
    const d: Vec3 = [p[u] - m[q], p[u + 1] - m[q + 1], p[u + 2] - m[q + 2]]
    const agree = pn[u] * mn[q] + pn[u + 1] * mn[q + 1] + pn[u + 2] * mn[q + 2]
    const square = d[0] ** 2 + d[1] ** 2 + d[2] ** 2 + 2 * normalMm ** 2 * (1 - agree)
    const off = d[0] * mn[q] + d[1] * mn[q + 1] + d[2] * mn[q + 2]
    const counted = off * off + ALONG * (square - off * off)
    cost += (counted * robust) / (counted + robust)
    weight++
    const share = (robust / (square + robust)) ** 2
    const row = (nx: number, ny: number, nz: number, w: number) =>
      system.add(
        [
          p[u + 1] * nz - p[u + 2] * ny,
          p[u + 2] * nx - p[u] * nz,
          p[u] * ny - p[u + 1] * nx,
          ...[nx, ny, nz],
          ...[-nx * m[q], -ny * m[q + 1], -nz * m[q + 2]],
        ],
        -(nx * d[0] + ny * d[1] + nz * d[2]),
        w,
      )
    row(mn[q], mn[q + 1], mn[q + 2], share)
    row(1, 0, 0, POINT_SHARE * share)
    row(0, 1, 0, POINT_SHARE * share)
    row(0, 0, 1, POINT_SHARE * share)
  }

  nearestIn(here, scaled, normalMm, null).forEach((j, i) => {
    if (cap.on[i] === 0 && j >= 0) pair(i, j)
    else {
      const square = cap.missMm[i] ** 2
      cost += (square * robust) / (square + robust)
      weight++
    }
  })
  nearestIn(scaled, here, normalMm, cap.on).forEach((i, j) => {
    if (i >= 0 && scaled.points[3 * j + 2] < cap.zAt(scaled.points[3 * j], scaled.points[3 * j + 1]))
      pair(i, j)
    else {
      cost += (BEYOND * radius) ** 2
      weight++
    }
  })

  const logs = fit.scale.map(Math.log)
  const mean = (logs[0] + logs[1] + logs[2]) / 3
  // A spread of the usual size costs as much as one pair in twenty at a tenth of the radius.
  const prior = (weight / 20) * ((0.1 * radius) / SCALE_SPREAD) ** 2
  for (let k = 0; k < 3; k++) {
    const row = [0, 0, 0, 0, 0, 0, -1 / 3, -1 / 3, -1 / 3]
    row[6 + k] += 1
    system.add(row, mean - logs[k], prior)
    cost += prior * (logs[k] - mean) ** 2
  }
  return {
    fit: moved(fit, system.solve(1e-6 * weight * radius ** 2)),
    misfit: Math.sqrt(cost / weight) / radius,
  }
}

/** A model stretched along its axes; normals go with the inverse. */
function stretched({ count, points, normals }: Cloud, scale: Vec3): Cloud {
  const longer = points.map((v, i) => v * scale[i % 3])
  const turned = normals.map((v, i) => v / scale[i % 3])
  for (let i = 0; i < turned.length; i += 3) {
    const size = Math.hypot(turned[i], turned[i + 1], turned[i + 2])
    turned[i] /= size
    turned[i + 1] /= size
    turned[i + 2] /= size
  }
  return { count, points: longer, normals: turned }
}

/** Which points face apically, how far each of them is from a smooth surface through them all, and that surface. */
function capOf({ count, points: p, normals }: Cloud, radius: number) {
  const on = new Uint8Array(count)
  // In shares of the radius, so that the damping is the same in every unit.
  const terms = (px: number, py: number) => {
    const [x, y] = [px / radius, py / radius]
    return [1, x, y, x * x, x * y, y * y]
  }
  const system = leastSquares(6)
  let faces = 0
  for (let i = 0; i < count; i++) {
    if (normals[3 * i + 2] <= CAP_FACING) continue
    on[i] = 1
    faces++
    system.add(terms(p[3 * i], p[3 * i + 1]), p[3 * i + 2], 1)
  }
  const fitted = system.solve(1e-3 * faces)
  const zAt = (x: number, y: number) => terms(x, y).reduce((sum, term, n) => sum + term * fitted[n], 0)
  const missMm = Float64Array.from({ length: count }, (_, i) =>
    on[i] === 0 ? 0 : p[3 * i + 2] - zAt(p[3 * i], p[3 * i + 1]),
  )
  return { on, missMm, zAt: faces < 6 ? () => Number.POSITIVE_INFINITY : zAt }
}

/** The step in the crown's frame: three small turns, three shifts, three growths. Long steps are shortened. */
function moved({ pose, scale }: Fit, step: readonly number[]): Fit {
  const turn = Math.hypot(step[0], step[1], step[2])
  const k = Math.min(1, 0.5 / Math.max(turn, 1e-12))
  const e = rotation([k * step[0], k * step[1], k * step[2]])
  // Points of the mesh seen from the crown move by e and then by the shift: the frame moves the other way.
  const back = invert(e)
  const axes = ([0, 1, 2] as const).map((c) => directionOf(pose, column(back, c)))
  const z = normalize(axes[2])
  const y = normalize(cross(z, axes[0]))
  const turned = fromFrame(cross(y, z), y, z, [0, 0, 0])
  const shift = transformPoint(turned, [step[3], step[4], step[5]])
  const grown = scale.map((s, n) => s * Math.exp(Math.max(-0.2, Math.min(0.2, step[6 + n]))))
  return {
    pose: fromFrame(column(turned, 0), column(turned, 1), z, subtract(column(pose, 3), shift)),
    scale: [grown[0], grown[1], grown[2]],
  }
}

const directionOf = (m: Mat4, d: Vec3): Vec3 => subtract(transformPoint(m, d), column(m, 3))

/** The turn about a vector by its length, radians (Rodrigues). */
function rotation(w: Vec3): Mat4 {
  const angle = Math.hypot(w[0], w[1], w[2])
  if (angle < 1e-12) return fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])
  const [x, y, z] = [w[0] / angle, w[1] / angle, w[2] / angle]
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  const t = 1 - c
  return fromFrame(
    [c + t * x * x, t * x * y + s * z, t * x * z - s * y],
    [t * x * y - s * z, c + t * y * y, t * y * z + s * x],
    [t * x * z + s * y, t * y * z - s * x, c + t * z * z],
    [0, 0, 0],
  )
}
