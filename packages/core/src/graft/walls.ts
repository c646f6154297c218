import { plusYSide } from '../crown/index.js'
import type { GraftField, GraftWall, GraftWalls } from './graft-result.js'

/** Own choice: a side stands when half of its rays end in bone, over the graft's height and over its first millimetre. */
const STANDS_SHARE = 0.5
const FIRST_MM = 1

/**
 * On how many of the four sides bone stands round a graft: rays of the side, a quarter of the way round, that end in bone
 * beyond the fixture or face bone across a gap, over the graft's height. Sources count two or three walls as favourable
 * without saying how thick a wall must be; so any bone beyond the fixture counts. Rays of which nothing is known are left out.
 */
export function wallsRemaining(field: GraftField, tooth: string): GraftWalls {
  const { depthsMm, anglesDeg, ground } = field
  const columns = anglesDeg.length
  const isGrafted = (row: number) =>
    ground.builtMm.subarray(row * columns, (row + 1) * columns).some((mm) => mm > 0)
  const rows = depthsMm.flatMap((_, row) => (isGrafted(row) ? [row] : []))
  const top = depthsMm[rows[0] ?? 0]
  const plusY = plusYSide(tooth)
  const sides: readonly { readonly side: GraftWall['side']; readonly centreDeg: number }[] = [
    { side: 'facial', centreDeg: 0 },
    { side: 'oral', centreDeg: 180 },
    { side: plusY, centreDeg: 90 },
    { side: plusY === 'mesial' ? 'distal' : 'mesial', centreDeg: 270 },
  ]
  const shareOf = (centreDeg: number, which: readonly number[]): number => {
    let known = 0
    let walled = 0
    for (const row of which)
      for (let c = 0; c < columns; c++) {
        const n = row * columns + c
        const inSide = (anglesDeg[c] - centreDeg + 405) % 360 < 90
        if (!inSide || Number.isNaN(ground.builtMm[n])) continue
        known++
        if (ground.baseMm[n] > ground.fixtureMm[row] + 1e-9 || ground.farMm[n] > 0) walled++
      }
    return known > 0 ? walled / known : 0
  }
  const first = rows.filter((row) => depthsMm[row] <= top + FIRST_MM + 1e-9)
  const walls = sides.map(({ side, centreDeg }): GraftWall => {
    const share = shareOf(centreDeg, rows)
    const stands = share >= STANDS_SHARE && shareOf(centreDeg, first) >= STANDS_SHARE
    return { side, stands, share }
  })
  return { sides: walls, count: walls.filter(({ stands }) => stands).length }
}
