import type { Pixel } from '../drawing/view.js'
import { type Box, boxAt, meet, widened } from './boxes.js'
import { type ChartGrid, cellOf, indexOf, pixelOf, placeAt, placeOf } from './chart-grid.js'
import type { Contour } from './contours.js'
import type { ExitZone, ZoneKey } from './exit-zones.js'
import { lengthOf, spaced } from './iso-lines.js'

/** A word or number on the chart, about its middle. */
export interface Lettering {
  readonly kind: 'zone' | Contour['kind']
  readonly text: string
  readonly at: Pixel
  /** Read from below upwards. */
  readonly upright: boolean
  readonly box: Box
}

/** What the lettering has to keep clear of, and how large it comes out. */
export interface Room {
  readonly grid: ChartGrid
  /** Width of a text as it is drawn, pixels. */
  readonly widthOf: (text: string, kind: Lettering['kind']) => number
  readonly taken: readonly Box[]
  /** Whether there is room for the longer words. */
  readonly wide: boolean
}

/** Half of the height that a line of letters takes with the gap in the lines under it, pixels. */
const halfLine = 8
const besidePx = 3
/** Gaps to the outline that are tried round the name of a zone, pixels. */
const gapsPx = [26, 16, 9, 4, 1]
/** Parts of a zone smaller than this many cells go without a name. */
const leastCells = 6
/** So long must a line be for a number of its own, pixels. */
const numberedPx = 40

export const zoneName = (key: ZoneKey): string => (key === 'none' ? 'no exit' : `exit ${key}`)

/**
 * Names of the zones and numbers of the contours, none over another or over what is taken: first the limit, then the
 * zones, then the rest. What finds no place is left out; `complete`: nothing was.
 */
export function lettering(
  zones: readonly ExitZone[],
  lines: readonly Contour[],
  room: Room,
): { readonly letters: readonly Lettering[]; readonly complete: boolean } {
  const placed: Lettering[] = []
  let complete = true
  const add = (found: Lettering | null): void => {
    if (found === null) complete = false
    else placed.push(found)
  }
  const outlines = cellsUnder(
    room.grid,
    zones.flatMap((zone) => zone.lines),
  )
  const drawn = lines.map((contour) => cellsUnder(room.grid, contour.lines))
  const number = (contour: Contour, own: number): void => {
    const others = [outlines, ...drawn.filter((_, n) => n !== own)]
    const long = contour.lines.filter((line) => lengthOf(line) >= numberedPx)
    for (const line of long) add(numberOn(contour, line, others, room, placed))
  }
  lines.forEach((contour, n) => {
    if (contour.kind === 'limit') number(contour, n)
  })
  for (const zone of zones)
    for (const part of partsOf(room.grid, zone)) add(nameIn(zone, part, drawn, room, placed))
  lines.forEach((contour, n) => {
    if (contour.kind !== 'limit') number(contour, n)
  })
  return { letters: placed, complete }
}

const free = (box: Box, { taken, grid }: Room, placed: readonly Lettering[]): boolean =>
  box.x - box.halfWidth >= 2 &&
  box.x + box.halfWidth <= grid.width - 2 &&
  box.y - box.halfHeight >= 1 &&
  box.y + box.halfHeight <= grid.height - 1 &&
  !taken.some((other) => meet(box, other)) &&
  !placed.some((other) => meet(box, other.box))

/** The cells that lines run through. */
function cellsUnder(grid: ChartGrid, lines: readonly (readonly Pixel[])[]): Set<number> {
  const cells = new Set<number>()
  for (const line of lines)
    for (const { at } of spaced(line, 4)) cells.add(indexOf(grid.spec, cellOf(grid.spec, placeAt(grid, at))))
  return cells
}

/** The cells that a box lies on. */
function cellsIn(grid: ChartGrid, { x, y, halfWidth, halfHeight }: Box): number[] {
  const one = cellOf(grid.spec, placeAt(grid, [x - halfWidth, y - halfHeight]))
  const other = cellOf(grid.spec, placeAt(grid, [x + halfWidth, y + halfHeight]))
  const cells: number[] = []
  for (let row = Math.min(one.row, other.row); row <= Math.max(one.row, other.row); row++)
    for (let column = one.column; column <= other.column; column++)
      cells.push(indexOf(grid.spec, { column, row }))
  return cells
}

/** The number of a contour where it runs into the fewest other lines, and there nearest to the middle of its own. */
function numberOn(
  contour: Contour,
  line: readonly Pixel[],
  others: readonly ReadonlySet<number>[],
  room: Room,
  placed: readonly Lettering[],
): Lettering | null {
  const text = room.wide ? contour.text : contour.short
  const half = room.widthOf(text, contour.kind) / 2 + besidePx
  const places = spaced(line, 6)
  let best: Lettering | null = null
  let least = Number.POSITIVE_INFINITY
  places.forEach(({ at }, n) => {
    const box = boxAt(at, half, halfLine)
    if (!free(box, room, placed)) return
    const crossed = others.filter((cells) => cellsIn(room.grid, box).some((cell) => cells.has(cell))).length
    const cost = crossed + Math.abs((n + 0.5) / places.length - 0.5)
    if (cost >= least) return
    least = cost
    best = { kind: contour.kind, text, at, upright: false, box }
  })
  return best
}

/** The cells of each connected part of a zone, the largest first. */
function partsOf({ spec }: ChartGrid, { holds }: ExitZone): number[][] {
  const columns = spec.columns.count
  const seen = new Set<number>()
  const parts: number[][] = []
  holds.forEach((held, first) => {
    if (!held || seen.has(first)) return
    const part: number[] = []
    const next = [first]
    seen.add(first)
    for (let cell = next.pop(); cell !== undefined; cell = next.pop()) {
      part.push(cell)
      const column = cell % columns
      const beside = [cell - columns, cell + columns]
      if (column > 0) beside.push(cell - 1)
      if (column + 1 < columns) beside.push(cell + 1)
      for (const other of beside)
        if (holds[other] === true && !seen.has(other)) {
          seen.add(other)
          next.push(other)
        }
    }
    parts.push(part)
  })
  return parts.filter((part) => part.length >= leastCells).sort((a, b) => b.length - a.length)
}

/**
 * The name of a zone inside one of its parts: well off its outline and over no line where there is such a place, else
 * standing upright in a narrow one, else over lines; nearest to the part's middle among equals.
 */
function nameIn(
  zone: ExitZone,
  part: readonly number[],
  drawn: readonly ReadonlySet<number>[],
  room: Room,
  placed: readonly Lettering[],
): Lettering | null {
  const { grid } = room
  const columns = grid.spec.columns.count
  const inside = new Set(part)
  const middles = part.map((cell) =>
    pixelOf(grid, placeOf(grid.spec, { column: cell % columns, row: Math.floor(cell / columns) })),
  )
  const mean = (axis: 0 | 1): number => middles.reduce((sum, at) => sum + at[axis], 0) / middles.length
  const centre: Pixel = [mean(0), mean(1)]
  const distance = ([x, y]: Pixel): number => Math.hypot(x - centre[0], y - centre[1])
  const byDistance = [...middles].sort((a, b) => distance(a) - distance(b))
  const lined = new Set(drawn.flatMap((cells) => [...cells]))
  for (const { text, upright, overLines } of namings(zone.key)) {
    const half = room.widthOf(text, 'zone') / 2 + besidePx
    const boxOn = (at: Pixel): Box => (upright ? boxAt(at, halfLine, half) : boxAt(at, half, halfLine))
    for (const gap of gapsPx) {
      const at = byDistance.find((place) => {
        const box = boxOn(place)
        return (
          free(box, room, placed) &&
          cellsIn(grid, widened(box, gap)).every((cell) => inside.has(cell)) &&
          (overLines || !cellsIn(grid, box).some((cell) => lined.has(cell)))
        )
      })
      if (at !== undefined) return { kind: 'zone', text, at, upright, box: boxOn(at) }
    }
  }
  return null
}

/** Ways to write a zone's name, the best first; the shorter name is for zones that the longer one does not fit. */
const namings = (key: ZoneKey): { text: string; upright: boolean; overLines: boolean }[] =>
  (key === 'none' ? [zoneName(key)] : [zoneName(key), key]).flatMap((text) =>
    [false, true].flatMap((overLines) => [false, true].map((upright) => ({ text, upright, overLines }))),
  )
