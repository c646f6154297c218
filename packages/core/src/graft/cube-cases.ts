/** Corner bits: 1, 2, 4 of a corner's number are its steps along x, y, z. */
const CORNERS = [0, 1, 2, 3, 4, 5, 6, 7] as const

/** The twelve edges of a cube: lower corner, upper corner, and the axis between. */
export const CUBE_EDGES: readonly { readonly low: number; readonly high: number; readonly axis: number }[] = [
  0, 1, 2,
].flatMap((axis) =>
  CORNERS.filter((corner) => ((corner >> axis) & 1) === 0).map((low) => ({
    low,
    high: low | (1 << axis),
    axis,
  })),
)

const edgeBetween = (a: number, b: number): number =>
  CUBE_EDGES.findIndex(({ low, high }) => (low === a && high === b) || (low === b && high === a))

/** Corners of each face, counter-clockwise seen from outside the cube. */
const FACES: readonly (readonly number[])[] = [
  [0, 4, 6, 2],
  [1, 3, 7, 5],
  [0, 1, 5, 4],
  [2, 6, 7, 3],
  [0, 2, 3, 1],
  [4, 5, 7, 6],
]

const onOneFace = (a: number, b: number): boolean => {
  const corners = [CUBE_EDGES[a].low, CUBE_EDGES[a].high, CUBE_EDGES[b].low, CUBE_EDGES[b].high]
  return FACES.some((face) => corners.every((corner) => face.includes(corner)))
}

/**
 * Triangles of each of the 256 ways in which a cube's corners can lie inside (its bit set) or outside, as edges in threes,
 * wound outward. Made, not copied (Lorensen and Cline 1987 describe the method): on each face inside corners that touch by
 * a diagonal only stay apart, whichever cube looks at it, so that neighbours always fit; the loops of edges are filled
 * without a diagonal on a face, so that no edge is shared by more than two triangles.
 */
export const CUBE_CASES: readonly (readonly number[])[] = Array.from({ length: 256 }, (_, bits) =>
  loopsOf(bits).flatMap((loop) => filled(loop) ?? []),
)

function loopsOf(bits: number): number[][] {
  const inside = (corner: number) => ((bits >> corner) & 1) === 1
  /** From the edge where a face's outline leaves the inside to the one where it comes in before: the cut's way. */
  const next = new Map<number, number>()
  for (const face of FACES)
    for (const [n, corner] of face.entries()) {
      const before = face[(n + 3) % 4]
      if (!inside(corner) || inside(before)) continue
      // A run of inside corners begins here; it ends where the next one is outside.
      let last = n
      while (inside(face[(last + 1) % 4])) last++
      const enters = edgeBetween(before, corner)
      const leaves = edgeBetween(face[last % 4], face[(last + 1) % 4])
      next.set(enters, leaves)
    }
  const loops: number[][] = []
  while (next.size > 0) {
    const loop: number[] = []
    let at = next.keys().next().value
    while (at !== undefined && next.has(at)) {
      loop.push(at)
      const to = next.get(at)
      next.delete(at)
      at = to
    }
    loops.push(loop)
  }
  return loops
}

/** A loop cut into triangles without diagonals that lie on a face of the cube; null when that cannot be done. */
function filled(loop: readonly number[]): number[] | null {
  if (loop.length === 3) return [...loop]
  const allowed = (a: number, b: number) => !onOneFace(loop[a], loop[b])
  /** Triangles between two places of the loop, taken as joined already. */
  const between = (from: number, to: number): number[] | null => {
    if (to - from < 2) return []
    for (let n = from + 1; n < to; n++) {
      const left = n - from < 2 || allowed(from, n) ? between(from, n) : null
      const right = left !== null && (to - n < 2 || allowed(n, to)) ? between(n, to) : null
      if (left !== null && right !== null) return [loop[from], loop[n], loop[to], ...left, ...right]
    }
    return null
  }
  return between(0, loop.length - 1)
}
