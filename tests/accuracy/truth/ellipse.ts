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
 * Shortest distance from (u, v) to the ellipse, positive inside. With a the lesser half axis the foot is
 * (a^2 u / w, b^2 v / (w + b^2 - a^2)), where w > 0 solves (a u / w)^2 + (b v / (w + b^2 - a^2))^2 = 1; the left side falls
 * with w, so it is bisected.
 */
export function ellipseDistance(
  [a, b]: readonly [number, number],
  [u, v]: readonly [number, number],
): number {
  if (a > b) return ellipseDistance([b, a], [v, u])
  // On the long axis w tends to 0 with u: a tiny u stands for none.
  const [x, y] = [Math.max(1e-9, Math.abs(u)), Math.abs(v)]
  const more = b * b - a * a
  let low = 0
  let high = a * x + b * y + a * a
  for (let turn = 0; turn < 100; turn++) {
    const w = (low + high) / 2
    if (((a * x) / w) ** 2 + ((b * y) / (w + more)) ** 2 > 1) low = w
    else high = w
  }
  const foot = [(a * a * x) / high, (b * b * y) / (high + more)] as const
  const inside = (x / a) ** 2 + (y / b) ** 2 < 1
  return (inside ? 1 : -1) * Math.hypot(x - foot[0], y - foot[1])
}
