/**
 * Distance r from (u, v) inside the ellipse with half axes a and b along the step (du, dv), not of unit length, to its rim:
 * the greater root of ((u + r du) / a)^2 + ((v + r dv) / b)^2 = 1.
 */
export function ellipseExit(
  [a, b]: readonly [number, number],
  [u, v]: readonly [number, number],
  [du, dv]: readonly [number, number],
): number {
  const A = (du / a) ** 2 + (dv / b) ** 2
  const B = (u * du) / a ** 2 + (v * dv) / b ** 2
  const C = (u / a) ** 2 + (v / b) ** 2 - 1
  return (-B + Math.sqrt(B * B - A * C)) / A
}

/**
 * Shortest distance from (u, v) to the ellipse, positive inside. The foot is (a^2 u / (t + a^2), b^2 v / (t + b^2)), where t
 * above -min(a, b)^2 solves (a u / (t + a^2))^2 + (b v / (t + b^2))^2 = 1; the left side falls with t, so it is bisected.
 */
export function ellipseDistance(
  [a, b]: readonly [number, number],
  [u, v]: readonly [number, number],
): number {
  const [x, y] = [Math.abs(u), Math.abs(v)]
  const excess = (t: number) => ((a * x) / (t + a * a)) ** 2 + ((b * y) / (t + b * b)) ** 2 - 1
  let low = -(Math.min(a, b) ** 2)
  let high = (a + b) * Math.hypot(x, y) + a * b
  for (let turn = 0; turn < 100; turn++) {
    const t = (low + high) / 2
    if (excess(t) > 0) low = t
    else high = t
  }
  const foot = [(a * a * x) / (high + a * a), (b * b * y) / (high + b * b)] as const
  const inside = (x / a) ** 2 + (y / b) ** 2 < 1
  return (inside ? 1 : -1) * Math.hypot(x - foot[0], y - foot[1])
}
