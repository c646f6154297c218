import type { MarginResult } from '@alveometer/core'

/**
 * The order of the map's columns from left to right: facial in the middle, +y to the right, the inner side at both ends.
 */
export function columnOrder(anglesDeg: readonly number[]): number[] {
  const signed = (a: number): number => (a >= 180 ? a - 360 : a)
  return anglesDeg
    .map((angle, column) => ({ angle: signed(angle), column }))
    .sort((a, b) => a.angle - b.angle)
    .map(({ column }) => column)
}

/** Rows and columns of a map and the size it is drawn at, pixels. */
export interface MapGrid {
  readonly rows: number
  readonly columns: number
  readonly width: number
  readonly height: number
}

/** The cells that meet a condition, as a path in pixels: one rectangle for each run along a row. */
export function runsPath(grid: MapGrid, holds: (row: number, place: number) => boolean): string {
  const { rows, columns } = grid
  const w = grid.width / columns
  const h = grid.height / rows
  const px = (v: number): string => v.toFixed(1)
  const parts: string[] = []
  for (let row = 0; row < rows; row++) {
    let start = -1
    for (let place = 0; place <= columns; place++) {
      const inside = place < columns && holds(row, place)
      if (inside && start < 0) start = place
      if (!inside && start >= 0) {
        parts.push(`M${px(start * w)},${px(row * h)}H${px(place * w)}V${px((row + 1) * h)}H${px(start * w)}z`)
        start = -1
      }
    }
  }
  return parts.join('')
}

/** The limit that holds for an angle, from the sector it lies in; `sides` are the keys at 0, 90, 180 and 270 degrees. */
export function limitAtMm(margin: MarginResult, sides: readonly string[], angleDeg: number): number {
  const quarter = ((Math.round(angleDeg / 90) % 4) + 4) % 4
  return margin.sectors[sides[quarter] ?? '']?.limitMm ?? 0
}
