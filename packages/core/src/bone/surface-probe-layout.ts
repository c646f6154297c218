import { type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'

/** Rays that are looked at together at first: so many rows and columns at most. */
const BLOCK_ROWS = 8
const BLOCK_COLUMNS = 9

/** Sectors of a map: the sector of each column, numbered from 0. */
export interface ColumnSectors {
  readonly count: number
  readonly ofColumn: readonly number[]
}

/** A rectangle of rays: rows and places of columns, ends included. */
export interface RayBlock {
  readonly fromRow: number
  readonly toRow: number
  readonly fromPlace: number
  readonly toPlace: number
}

/**
 * What of a probe does not change with the pose. Columns are taken in an order (`place`) in which those of a sector lie
 * together; directions are kept at every place and half way to the next, so that a block has one in its middle.
 */
export interface ProbeLayout {
  readonly rows: number
  readonly columns: number
  readonly depthsMm: Float64Array
  readonly radiiMm: Float64Array
  /** Column at a place, and the place of a column. */
  readonly columnAt: Uint16Array
  readonly placeOf: Uint16Array
  readonly sectorAt: Uint16Array
  /** Cosine and sine of the angle at half places: 2 n = place n. */
  readonly cosines: Float64Array
  readonly sines: Float64Array
  /** Cosine of half the angle across so many steps from column to column. */
  readonly halfCosines: Float64Array
  /** Way from column to column along the fixture's widest girth, mm. */
  readonly pitchMm: number
  readonly sectors: number
  readonly blocks: readonly RayBlock[]
}

/** @throws RangeError when the grid's angles are not evenly spaced all the way round, or a column has no sector. */
export function probeLayout(profile: FixtureProfile, grid: SurfaceGrid, sectors: ColumnSectors): ProbeLayout {
  const { depthsMm, anglesDeg } = grid
  const columns = anglesDeg.length
  const stepDeg = 360 / columns
  if (anglesDeg.some((angle, n) => Math.abs(angle - anglesDeg[0] - n * stepDeg) > 1e-9))
    throw new RangeError('a surface probe needs angles evenly spaced all the way round')
  if (sectors.ofColumn.length !== columns)
    throw new RangeError(
      `a surface probe needs the sector of ${columns} columns; got ${sectors.ofColumn.length}`,
    )
  const sectorOf = (place: number) => sectors.ofColumn[(place + columns) % columns]
  let first = 0
  while (first < columns && sectorOf(first) === sectorOf(first - 1)) first++
  const start = first % columns
  const places = Array.from({ length: columns }, (_, place) => (start + place) % columns)
  const halfAngles = Array.from(
    { length: 2 * columns },
    (_, half) => ((anglesDeg[0] + (start + half / 2) * stepDeg) * Math.PI) / 180,
  )
  return {
    rows: depthsMm.length,
    columns,
    depthsMm: Float64Array.from(depthsMm),
    radiiMm: Float64Array.from(depthsMm, (depthMm) => radiusAtMm(profile, depthMm)),
    columnAt: Uint16Array.from(places),
    placeOf: Uint16Array.from(places, (_, column) => (column - start + columns) % columns),
    sectorAt: Uint16Array.from(places, sectorOf),
    cosines: Float64Array.from(halfAngles, Math.cos),
    sines: Float64Array.from(halfAngles, Math.sin),
    halfCosines: Float64Array.from({ length: columns }, (_, n) => Math.cos((n * stepDeg * Math.PI) / 360)),
    pitchMm: (2 * Math.PI * profile.greatestRadiusMm) / columns,
    sectors: sectors.count,
    blocks: blocksOf(depthsMm.length, places.map(sectorOf)),
  }
}

function blocksOf(rows: number, sectorAt: readonly number[]): RayBlock[] {
  const blocks: RayBlock[] = []
  const bands = Math.ceil(rows / BLOCK_ROWS)
  for (let fromPlace = 0; fromPlace < sectorAt.length; ) {
    let end = fromPlace + 1
    while (end < sectorAt.length && end < fromPlace + BLOCK_COLUMNS && sectorAt[end] === sectorAt[fromPlace])
      end++
    for (let band = 0; band < bands; band++)
      blocks.push({
        fromRow: Math.round((band * rows) / bands),
        toRow: Math.round(((band + 1) * rows) / bands) - 1,
        fromPlace,
        toPlace: end - 1,
      })
    fromPlace = end
  }
  return blocks
}
