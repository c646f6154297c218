import type { Place } from '../src/explore/way-space.js'

/** How much a value can change at most, mm: with a move of the platform, mm, and with a turn of the axis, radians. */
export interface Steepness {
  readonly aMm: number
  readonly aRadian: number
}

export interface Searched<Values> {
  readonly low: Place
  readonly high: Place
  /** How much of the angle lies in one unit of the last two coordinates, radians. */
  readonly radians: number
  readonly look: (place: Place) => Values
  readonly pieces: (values: Values) => readonly (readonly [mm: number, steepness: Steepness])[]
  readonly kept: (values: Values) => readonly (readonly [mm: number, steepness: Steepness])[]
}

export interface Exhausted {
  /** Greatest value found at the middle of a cell that keeps all; null when there is none. */
  readonly found: number | null
  /** No place of the box that keeps all has more. */
  readonly bound: number
  readonly cells: number
}

interface Cell {
  readonly middle: Place
  readonly half: Place
  readonly bound: number
}

/**
 * The greatest least piece over a whole box, by halving cells (along the side that counts most) until none can hold more
 * than what was found and `gapMm`: branch and bound with the steepness of every value (Lipschitz: Piyavskii 1972, USSR Comput
 * Math Math Phys 12:57), so that nothing wider than a point is missed. Ends early, with the bound that then holds, after `most` cells.
 */
export function exhaust<Values>(
  search: Searched<Values>,
  gapMm: number,
  most: number,
  known: number | null = null,
): Exhausted {
  const queue: Cell[] = []
  let found = known
  let cells = 0
  const reachOf = ({ half }: Pick<Cell, 'half'>, { aMm, aRadian }: Steepness): number =>
    aMm * Math.hypot(half[0], half[1], half[2]) + aRadian * search.radians * Math.hypot(half[3], half[4])

  const consider = (middle: Place, half: Place, above: number): void => {
    cells++
    const values = search.look(middle)
    const pieces = search.pieces(values)
    const kept = search.kept(values)
    const value = Math.min(...pieces.map(([mm]) => mm))
    if (kept.every(([mm]) => mm >= 0) && (found === null || value > found)) found = value
    if (kept.some(([mm, steepness]) => mm + reachOf({ half }, steepness) < 0)) return
    const bound = Math.min(above, ...pieces.map(([mm, steepness]) => mm + reachOf({ half }, steepness)))
    if (found === null || bound > found + gapMm) push(queue, { middle, half, bound })
  }

  const middle = search.low.map((from, n) => (from + search.high[n]) / 2)
  consider(
    middle,
    middle.map((at, n) => at - search.low[n]),
    Number.POSITIVE_INFINITY,
  )
  for (;;) {
    const cell = pop(queue)
    if (cell === undefined) return { found, bound: (found ?? Number.NEGATIVE_INFINITY) + gapMm, cells }
    if (found !== null && cell.bound <= found + gapMm) return { found, bound: cell.bound, cells }
    if (cells > most) return { found, bound: cell.bound, cells }
    const weight = (n: number): number => cell.half[n] * (n < 3 ? 1 : 12 * search.radians)
    const side = cell.half.reduce((best, _, n) => (weight(n) > weight(best) ? n : best), 0)
    const half = cell.half.map((mm, n) => (n === side ? mm / 2 : mm))
    for (const sign of [-1, 1])
      consider(
        cell.middle.map((at, n) => (n === side ? at + sign * half[n] : at)),
        half,
        cell.bound,
      )
  }
}

/** The cell that promises most comes first: a binary heap. */
function push(heap: Cell[], cell: Cell): void {
  heap.push(cell)
  let n = heap.length - 1
  while (n > 0) {
    const parent = (n - 1) >> 1
    if (heap[parent].bound >= heap[n].bound) return
    ;[heap[parent], heap[n]] = [heap[n], heap[parent]]
    n = parent
  }
}

function pop(heap: Cell[]): Cell | undefined {
  const first = heap[0]
  const last = heap.pop()
  if (last === undefined || heap.length === 0) return first
  heap[0] = last
  let n = 0
  for (;;) {
    const left = 2 * n + 1
    let best = n
    for (const child of [left, left + 1])
      if (child < heap.length && heap[child].bound > heap[best].bound) best = child
    if (best === n) return first
    ;[heap[best], heap[n]] = [heap[n], heap[best]]
    n = best
  }
}
