type Place = readonly [number, number]

/** The hull is taken over what lies so far round from facial, degrees. */
const HALF_DEG = 100

/** How far the convex hull of an outline's facial part reaches along each angle, mm from the axis; 0 where it does not. */
export function hullRadii(outlineMm: Float64Array, anglesDeg: readonly number[]): Float64Array {
  const turns = anglesDeg.map((angle) => (angle * Math.PI) / 180)
  const places = anglesDeg.flatMap((angle, n): Place[] =>
    Math.min(angle, 360 - angle) <= HALF_DEG && outlineMm[n] > 0
      ? [[outlineMm[n] * Math.cos(turns[n]), outlineMm[n] * Math.sin(turns[n])]]
      : [],
  )
  const hull = hullOf(places)
  return Float64Array.from(turns, (turn) => {
    const [c, s] = [Math.cos(turn), Math.sin(turn)]
    let most = 0
    hull.forEach(([px, py], n) => {
      const [qx, qy] = hull[(n + 1) % hull.length]
      // Signed distances of the edge's ends from the ray's line; the edge crosses it where they differ in sign.
      const a = c * py - s * px
      const b = c * qy - s * qx
      if (a === b || a * b > 0) return
      const share = a / (a - b)
      most = Math.max(most, c * (px + (qx - px) * share) + s * (py + (qy - py) * share))
    })
    return most
  })
}

/** Convex hull, counter-clockwise (Andrew's monotone chain, 1979). */
function hullOf(places: readonly Place[]): Place[] {
  const sorted = [...places].sort((a, b) => a[0] - b[0] || a[1] - b[1])
  if (sorted.length < 3) return sorted
  const half = (points: readonly Place[]): Place[] => {
    const chain: Place[] = []
    for (const p of points) {
      while (chain.length > 1 && turnOf(chain[chain.length - 2], chain[chain.length - 1], p) <= 0) chain.pop()
      chain.push(p)
    }
    return chain.slice(0, -1)
  }
  return [...half(sorted), ...half(sorted.reverse())]
}

const turnOf = (o: Place, a: Place, b: Place): number =>
  (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
