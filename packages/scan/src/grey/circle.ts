/** A circle in millimetres. */
export interface Circle {
  readonly x: number
  readonly y: number
  readonly radius: number
}

export interface PlanePoint {
  readonly x: number
  readonly y: number
}

/**
 * The circle through the outermost points of a contour. Points more than `tolerance` inside are dropped and the fit
 * repeated, so that notches in the contour do not pull it in. Null when too few are left.
 * Each fit is the linear least squares circle x2 + y2 + a x + b y + c = 0.
 */
export function fitCircle(points: readonly PlanePoint[], tolerance: number): Circle | null {
  let used = points
  for (let round = 0; round < 20; round++) {
    const circle = leastSquaresCircle(used)
    if (!circle) return null
    const kept = points.filter((p) => Math.hypot(p.x - circle.x, p.y - circle.y) > circle.radius - tolerance)
    if (kept.length === used.length) return circle
    used = kept
  }
  return null
}

function leastSquaresCircle(points: readonly PlanePoint[]): Circle | null {
  const n = points.length
  if (n < 8) return null
  const mx = points.reduce((s, p) => s + p.x, 0) / n
  const my = points.reduce((s, p) => s + p.y, 0) / n
  let [uu, uv, vv, uz, vz, zz] = [0, 0, 0, 0, 0, 0]
  for (const p of points) {
    const u = p.x - mx
    const v = p.y - my
    const z = u * u + v * v
    uu += u * u
    uv += u * v
    vv += v * v
    uz += u * z
    vz += v * z
    zz += z
  }
  const determinant = uu * vv - uv * uv
  if (!(determinant > 1e-9 * (uu + vv) ** 2)) return null
  const cu = (uz * vv - vz * uv) / (2 * determinant)
  const cv = (vz * uu - uz * uv) / (2 * determinant)
  return { x: mx + cu, y: my + cv, radius: Math.sqrt(cu * cu + cv * cv + zz / n) }
}
