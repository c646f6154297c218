import type { GraftField, GraftWalls } from '../graft/index.js'
import type { MarginResult } from './margin-result.js'
import { inSector, type Sector } from './sectors.js'

/** What published classes and considerations of timing are told from, for a fixture where it is planned. */
export interface DefectMeasures {
  /** Depth below the platform down to which nothing covers the fixture on any side, mm; 0 where a side is covered. */
  readonly verticalMm: number
  /** Greatest thickness missing to the wanted margin apical of that, mm. */
  readonly horizontalMm: number
  /** Greatest uncovered depth below the platform on a side, mm; 0 where it is covered there. */
  readonly facialBareMm: number
  readonly oralBareMm: number
  readonly lengthMm: number
  /** Of the fixture's side, 0 to 1. */
  readonly inBoneShare: number
  readonly walls: GraftWalls
  /** Bone from its facial to its oral outside through the axis where that is least, and where; null where never known. */
  readonly ridge: { readonly widthMm: number; readonly depthMm: number } | null
  /** Whether rays without data leave any of this open. */
  readonly open: boolean
}

/** The fixture's body. */
interface Body {
  readonly lengthMm: number
  readonly radiusAtMm: (depthMm: number) => number
}

/** @param needed what is missing to the wanted margins; null where nothing is. */
export function defectMeasures(
  margin: MarginResult,
  needed: GraftField | null,
  walls: GraftWalls,
  sectors: readonly Sector[],
  body: Body,
): DefectMeasures {
  const bare = bareDepths(margin)
  const verticalMm = Math.min(...bare)
  const on = (place: number) =>
    margin.anglesDeg.flatMap((angle, column) => (inSector(sectors[place], angle) ? [bare[column]] : []))
  return {
    verticalMm,
    horizontalMm: needed === null ? 0 : thickest(needed, verticalMm),
    facialBareMm: Math.max(...on(FACIAL)),
    oralBareMm: Math.max(...on(ORAL)),
    lengthMm: body.lengthMm,
    inBoneShare: margin.inBone.share,
    walls,
    ridge: ridgeWidth(margin, body),
    open: margin.exposureOpen,
  }
}

/** Places in sectorsOf. */
const FACIAL = 0
const ORAL = 2

/** How far down from the platform each column is uncovered, mm: linear to the crossing, half way to a cell without a number. */
function bareDepths({ radialMm, state, depthsMm, anglesDeg }: MarginResult): number[] {
  const isBare = (row: number, column: number): boolean =>
    state[row][column] === 'axis-outside' || (radialMm[row][column] ?? 0) < 0
  return anglesDeg.map((_, column) => {
    let row = 0
    while (row < depthsMm.length && isBare(row, column)) row++
    if (row === 0) return 0
    if (row === depthsMm.length) return depthsMm[row - 1]
    const [before, after] = [radialMm[row - 1][column], radialMm[row][column]]
    const share = before === null || after === null ? 0.5 : before / (before - after)
    return depthsMm[row - 1] + share * (depthsMm[row] - depthsMm[row - 1])
  })
}

function thickest({ depthsMm, anglesDeg, innerMm, outerMm }: GraftField, fromMm: number): number {
  let mm = 0
  for (const [row, depthMm] of depthsMm.entries()) {
    if (depthMm < fromMm) continue
    for (let n = row * anglesDeg.length; n < (row + 1) * anglesDeg.length; n++) {
      const thickness = outerMm[n] - innerMm[n]
      if (thickness > mm) mm = thickness
    }
  }
  return mm
}

function ridgeWidth({ radialMm, depthsMm, anglesDeg }: MarginResult, body: Body): DefectMeasures['ridge'] {
  const facial = anglesDeg.indexOf(0)
  const oral = anglesDeg.indexOf(180)
  let least: DefectMeasures['ridge'] = null
  for (const [row, depthMm] of depthsMm.entries()) {
    const [front, back] = [radialMm[row][facial] ?? null, radialMm[row][oral] ?? null]
    if (front === null || back === null) continue
    const widthMm = front + back + 2 * body.radiusAtMm(depthMm)
    if (least === null || widthMm < least.widthMm) least = { widthMm, depthMm }
  }
  return least
}
