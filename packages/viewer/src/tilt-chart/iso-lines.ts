import type { Pixel } from '../drawing/view.js'

/** Values at the points of a grid, pixels; null where there is none. */
export interface Lattice {
  readonly xs: readonly number[]
  readonly ys: readonly number[]
  readonly value: (row: number, column: number) => number | null
}

/** Sides of a square of the grid, by number. */
const [top, right, bottom, left] = [0, 1, 2, 3] as const
type Side = 0 | 1 | 2 | 3
type Step = readonly [from: Side, to: Side]

/**
 * Ways of a line through a square, by which corners reach the level (upper left 8, upper right 4, lower right 2, lower
 * left 1): what does lies to the left of the way. Two corners across from each other (5, 10) are decided by the middle.
 */
const ways: Readonly<Record<number, readonly Step[]>> = {
  1: [[bottom, left]],
  2: [[right, bottom]],
  3: [[right, left]],
  4: [[top, right]],
  6: [[top, bottom]],
  7: [[top, left]],
  8: [[left, top]],
  9: [[bottom, top]],
  11: [[right, top]],
  12: [[left, right]],
  13: [[bottom, right]],
  14: [[left, bottom]],
}
const across = (corners: number, middleReaches: boolean): readonly Step[] => {
  if (corners === 10)
    return [...(ways[middleReaches ? 11 : 8] ?? []), ...(ways[middleReaches ? 14 : 2] ?? [])]
  return [...(ways[middleReaches ? 7 : 4] ?? []), ...(ways[middleReaches ? 13 : 1] ?? [])]
}

interface Piece {
  readonly from: string
  readonly to: string
  readonly start: Pixel
  readonly end: Pixel
}

/**
 * Lines of equal value (marching squares, straight between the points of the grid), as points in order. Values that reach
 * the level lie to the left of a line as one follows it on the screen. A closed line ends where it begins; one that meets
 * the grid's end, or a square with a point that has no value, is open there.
 */
export function isoLines(lattice: Lattice, level: number): Pixel[][] {
  const pieces: Piece[] = []
  for (let row = 0; row + 1 < lattice.ys.length; row++)
    for (let column = 0; column + 1 < lattice.xs.length; column++)
      pieces.push(...piecesIn(lattice, level, row, column))
  return joined(pieces)
}

function piecesIn(lattice: Lattice, level: number, row: number, column: number): Piece[] {
  const upperLeft = lattice.value(row, column)
  const upperRight = lattice.value(row, column + 1)
  const lowerRight = lattice.value(row + 1, column + 1)
  const lowerLeft = lattice.value(row + 1, column)
  if (upperLeft === null || upperRight === null || lowerRight === null || lowerLeft === null) return []
  const corner = (value: number, worth: number): number => (value >= level ? worth : 0)
  const corners = corner(upperLeft, 8) + corner(upperRight, 4) + corner(lowerRight, 2) + corner(lowerLeft, 1)
  if (corners === 0 || corners === 15) return []
  const steps =
    ways[corners] ?? across(corners, (upperLeft + upperRight + lowerRight + lowerLeft) / 4 >= level)
  const share = (a: number, b: number): number => (level - a) / (b - a)
  const between = (a: number, b: number, t: number): number => a + (b - a) * t
  const x = (n: number): number => lattice.xs[n] ?? 0
  const y = (n: number): number => lattice.ys[n] ?? 0
  const acrossRow = (at: number, a: number, b: number): Pixel => [
    between(x(column), x(column + 1), share(a, b)),
    y(at),
  ]
  const downColumn = (at: number, a: number, b: number): Pixel => [
    x(at),
    between(y(row), y(row + 1), share(a, b)),
  ]
  const on = (side: Side): { readonly key: string; readonly at: Pixel } => {
    switch (side) {
      case top:
        return { key: `h${row},${column}`, at: acrossRow(row, upperLeft, upperRight) }
      case bottom:
        return { key: `h${row + 1},${column}`, at: acrossRow(row + 1, lowerLeft, lowerRight) }
      case left:
        return { key: `v${row},${column}`, at: downColumn(column, upperLeft, lowerLeft) }
      case right:
        return { key: `v${row},${column + 1}`, at: downColumn(column + 1, upperRight, lowerRight) }
    }
  }
  return steps.map(([from, to]) => {
    const [a, b] = [on(from), on(to)]
    return { from: a.key, to: b.key, start: a.at, end: b.at }
  })
}

/** Pieces end where others begin: at most one of each on a side of a square. */
function joined(pieces: readonly Piece[]): Pixel[][] {
  const beginning = new Map(pieces.map((piece) => [piece.from, piece]))
  const ending = new Set(pieces.map((piece) => piece.to))
  const used = new Set<Piece>()
  const follow = (first: Piece): Pixel[] => {
    const points: Pixel[] = [first.start]
    for (let piece: Piece | undefined = first; piece !== undefined && !used.has(piece); ) {
      used.add(piece)
      points.push(piece.end)
      piece = beginning.get(piece.to)
    }
    return points
  }
  const open = pieces.filter((piece) => !ending.has(piece.from)).map(follow)
  const closed: Pixel[][] = []
  for (const piece of pieces) if (!used.has(piece)) closed.push(follow(piece))
  return [...open, ...closed]
}

export const lengthOf = (points: readonly Pixel[]): number =>
  points.reduce((sum, [x, y], n) => {
    const before = points[n - 1]
    return before === undefined ? 0 : sum + Math.hypot(x - before[0], y - before[1])
  }, 0)

/** A place on a line and its direction there, of length 1. */
export interface OnLine {
  readonly at: Pixel
  readonly direction: Pixel
}

/** Places along a line, one for each so many pixels, the first after half of it. */
export function spaced(points: readonly Pixel[], everyPx: number): OnLine[] {
  const places: OnLine[] = []
  let next = everyPx / 2
  points.forEach(([x, y], n) => {
    const before = points[n - 1]
    if (before === undefined) return
    const [dx, dy] = [x - before[0], y - before[1]]
    const size = Math.hypot(dx, dy)
    while (size > 0 && next <= size) {
      places.push({
        at: [before[0] + (dx * next) / size, before[1] + (dy * next) / size],
        direction: [dx / size, dy / size],
      })
      next += everyPx
    }
    next -= size
  })
  return places
}
