import type { MarginResult, RayFlag } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { type MapGrid, runsPath } from './map-paths.js'

/** The flags that have a mark on the map; that a ray was not refined is told beside its number only. */
export const markedFlags = ['thin', 'tooth', 'leak'] as const satisfies readonly RayFlag[]
export type MarkedFlag = (typeof markedFlags)[number]

const rowsWith = (margin: MarginResult, flag: RayFlag): boolean[][] =>
  margin.flags.map((row) => row.map((flags) => flags.includes(flag)))

export const flagsIn = (margin: MarginResult): MarkedFlag[] =>
  markedFlags.filter((flag) => margin.flags.some((row) => row.some((flags) => flags.includes(flag))))

/** Fine dots and crossing lines, told apart from each other and from the hatchings without any colour. */
export const flagPatterns = svg`<pattern id="thin" width="5" height="5" patternUnits="userSpaceOnUse">
    <circle class="dot cas" cx="2.5" cy="2.5" r="1.5"></circle><circle class="dot" cx="2.5" cy="2.5" r="0.9"></circle>
  </pattern>
  <pattern id="tooth" width="7" height="7" patternUnits="userSpaceOnUse">
    <path class="grid cas" d="M0,3.5H7M3.5,0V7"></path><path class="grid" d="M0,3.5H7M3.5,0V7"></path>
  </pattern>`

/** Room that a ring takes: closer ones would run into each other, pixels. */
const ringRoom = 11

/** The marks of one flag over the cells that carry it. */
export function flagMarks(
  margin: MarginResult,
  flag: MarkedFlag,
  grid: MapGrid,
  order: readonly number[],
): SVGTemplateResult {
  const rows = rowsWith(margin, flag)
  const holds = (row: number, place: number): boolean => rows[row]?.[order[place] ?? 0] ?? false
  if (flag !== 'leak')
    return svg`<path class="hatching" fill="url(#${flag})" d=${runsPath(grid, holds)}></path>`
  return svg`${ringPlaces(grid, holds).map(([x, y]) => svg`<g class="leak" transform="translate(${x.toFixed(1)} ${y.toFixed(1)})">${ring}</g>`)}`
}

/** A small ring, about the origin. */
export const ring = svg`<circle class="ring cas" r="3.4"></circle><circle class="ring" r="3.4"></circle>`

/** A place for a ring on the cells that need one, none where the next ring stands already. */
export function ringPlaces(
  grid: MapGrid,
  holds: (row: number, place: number) => boolean,
): [number, number][] {
  const w = grid.width / grid.columns
  const h = grid.height / grid.rows
  const places: [number, number][] = []
  for (let row = 0; row < grid.rows; row++)
    for (let place = 0; place < grid.columns; place++) {
      if (!holds(row, place)) continue
      const [x, y] = [(place + 0.5) * w, (row + 0.5) * h]
      if (places.every(([px, py]) => Math.hypot(px - x, py - y) >= ringRoom)) places.push([x, y])
    }
  return places
}
