/**
 * The part of a field between four nodes that is above zero, cut where it passes through zero on straight lines. Both ways
 * of cutting the field into two triangles, half each: mirrored fields have the same size. Nodes go round the cell; one of
 * which nothing is known (NaN) leaves each of the others its own quarter.
 */

/** Mean of the positive part over the cell. */
export function positiveMean(a: number, b: number, c: number, d: number): number {
  if (a > 0 && b > 0 && c > 0 && d > 0) return (a + b + c + d) / 4
  if (Number.isNaN(a + b + c + d)) return (known(a) + known(b) + known(c) + known(d)) / 4
  return (meanOver(a, b, c) + meanOver(a, c, d) + meanOver(a, b, d) + meanOver(b, c, d)) / 4
}

const known = (mm: number): number => (Number.isNaN(mm) ? 0 : Math.max(0, mm))

/** Share of the cell, 0 to 1, where it is positive. */
export function positiveShare(a: number, b: number, c: number, d: number): number {
  if (a > 0 && b > 0 && c > 0 && d > 0) return 1
  if (Number.isNaN(a + b + c + d))
    return ((a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0) + (d > 0 ? 1 : 0)) / 4
  return (shareOver(a, b, c) + shareOver(a, c, d) + shareOver(a, b, d) + shareOver(b, c, d)) / 4
}

/** Mean of the positive part of a plane over a triangle. */
function meanOver(a: number, b: number, c: number): number {
  const positive = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0)
  if (positive === 3) return (a + b + c) / 3
  if (positive === 0) return 0
  if (positive === 1) return a > 0 ? corner(a, b, c) : b > 0 ? corner(b, c, a) : corner(c, a, b)
  // What is left when the one negative corner is cut off. A corner at zero is no part of it.
  const rest = a < 0 ? corner(-a, -b, -c) : b < 0 ? corner(-b, -c, -a) : c < 0 ? corner(-c, -a, -b) : 0
  return (a + b + c) / 3 + rest
}

function shareOver(a: number, b: number, c: number): number {
  const positive = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0)
  if (positive === 3) return 1
  if (positive === 0) return 0
  if (positive === 1) return a > 0 ? cut(a, b, c) : b > 0 ? cut(b, c, a) : cut(c, a, b)
  const rest = a < 0 ? cut(-a, -b, -c) : b < 0 ? cut(-b, -c, -a) : c < 0 ? cut(-c, -a, -b) : 0
  return 1 - rest
}

/** Where only p is positive: its corner's share of the triangle, and the mean of that corner over all of it. */
const cut = (p: number, q: number, r: number): number => (p / (p - q)) * (p / (p - r))
const corner = (p: number, q: number, r: number): number => (cut(p, q, r) * p) / 3
