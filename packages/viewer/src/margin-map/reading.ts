import type { MarginCell } from '../drawing/margin-at.js'
import { deg, mm, mmTolerance } from '../text/format.js'
import { flagWords, rayWords } from '../text/words.js'
import type { MapView } from './map-views.js'

/**
 * What a cell of the map tells in words; `sides` are those at 0, 90, 180 and 270 degrees. The shortest distance has no interval
 * of its own and is told with its ray's.
 */
export function reading(cell: MarginCell, view: MapView, sides: readonly string[]): string {
  const { radialMm, toleranceMm, nearestMm, plateMm, plateToleranceMm } = cell
  const side = sides[((Math.round(cell.angleDeg / 90) % 4) + 4) % 4] ?? ''
  const numbers: string[] = []
  if (view === 'nearest' && nearestMm !== null) numbers.push(`nearest ${mmTolerance(nearestMm, toleranceMm)}`)
  const along = view === 'nearest' ? ' along the ray' : ''
  numbers.push(
    radialMm === null
      ? `no number${along}, ${rayWords[cell.state]}`
      : `${mmTolerance(radialMm, toleranceMm)}${along}`,
  )
  if (plateMm !== null) numbers.push(`plate ${mmTolerance(plateMm, plateToleranceMm)}`)
  const where = `${mm(cell.depthMm, 1)} deep, ${deg(cell.angleDeg, 0)} ${side}`
  return [`${where}: ${numbers.join(', ')}`, ...cell.flags.map((flag) => flagWords[flag].told)].join('; ')
}
