import { hullRadii } from './hull.js'

/** The nodes that an outside is drawn over. */
export interface Contour {
  readonly depthsMm: readonly number[]
  readonly anglesDeg: readonly number[]
  readonly baseMm: Float64Array
  readonly stepMm: number
}

/**
 * Thickness that runs out at 45 degrees (own choice) beyond where it would end: no node lies lower than a neighbour's
 * outside less its distance. Distances are those of a chamfer over eight neighbours, which are up to 8 % long.
 */
export function sloped(
  { depthsMm, anglesDeg, baseMm, stepMm }: Contour,
  thicknessMm: Float64Array,
  allowed: (n: number) => number,
): Float64Array {
  const columns = anglesDeg.length
  const rows = depthsMm.length
  const turn = (2 * Math.PI) / columns
  const outer = thicknessMm.map((mm, n) => (mm > 0 && allowed(n) === 1 ? baseMm[n] + mm : 0))
  const from = (n: number, row: number, column: number, down: number, across: number): void => {
    const other = row + down
    if (other < 0 || other >= rows) return
    const m = other * columns + ((column + across + columns) % columns)
    const far = outer[m]
    if (far > 0) outer[n] = Math.max(outer[n], far - Math.hypot(down * stepMm, across * turn * far))
  }
  // Forward and back; twice, since the map goes round.
  for (let pass = 0; pass < 2; pass++) {
    for (let row = 0; row < rows; row++)
      for (let c = 0; c < columns; c++) {
        const n = row * columns + c
        from(n, row, c, -1, -1)
        from(n, row, c, -1, 0)
        from(n, row, c, -1, 1)
        from(n, row, c, 0, -1)
      }
    for (let row = rows - 1; row >= 0; row--)
      for (let c = columns - 1; c >= 0; c--) {
        const n = row * columns + c
        from(n, row, c, 1, 1)
        from(n, row, c, 1, 0)
        from(n, row, c, 1, -1)
        from(n, row, c, 0, 1)
      }
  }
  return thicknessMm.map((mm, n) => (outer[n] > 0 ? Math.max(mm, outer[n] - baseMm[n]) : mm))
}

const SMOOTHINGS = 3
/** So deep below the base its slope still belongs to an outside that runs out there, mm. */
const RIM_MM = 0.5

/** The outside made smooth where there is a graft and at its rim, never lower than so thick. */
export function smoothed(
  { depthsMm, anglesDeg, baseMm }: Contour,
  thicknessMm: Float64Array,
  leastMm: Float64Array,
): Float64Array {
  const columns = anglesDeg.length
  const rows = depthsMm.length
  let outer = thicknessMm.map((mm, n) => (mm > -RIM_MM ? baseMm[n] + mm : Number.NaN))
  for (let pass = 0; pass < SMOOTHINGS; pass++) {
    const before = outer
    outer = before.map((mm, n) => {
      if (Number.isNaN(mm)) return mm
      const row = Math.floor(n / columns)
      const c = n % columns
      let sum = 0
      let weight = 0
      for (let down = -1; down <= 1; down++)
        for (let across = -1; across <= 1; across++) {
          if (row + down < 0 || row + down >= rows) continue
          const v = before[(row + down) * columns + ((c + across + columns) % columns)]
          if (Number.isNaN(v)) continue
          const share = (2 - Math.abs(down)) * (2 - Math.abs(across))
          sum += share * v
          weight += share
        }
      return sum / weight
    })
  }
  return thicknessMm.map((mm, n) =>
    Number.isNaN(outer[n]) ? mm : Math.max(outer[n] - baseMm[n], Math.min(mm, leastMm[n])),
  )
}

/**
 * Thickness that, level by level, stays within the convex hull of the facial outline of bone (the middle one of those
 * round it), save where the wanted thickness, running out at its edges, lies beyond it by itself.
 */
export function withinHull(
  { depthsMm, anglesDeg, baseMm }: Contour,
  thicknessMm: Float64Array,
  allowanceMm: Float64Array,
  boneMm: Float64Array,
): Float64Array {
  const columns = anglesDeg.length
  const hulls = depthsMm.map((_, row) =>
    hullRadii(boneMm.subarray(row * columns, (row + 1) * columns), anglesDeg),
  )
  return thicknessMm.map((mm, n) => {
    if (!(mm > 0)) return mm
    const row = Math.floor(n / columns)
    const beside = hulls.slice(Math.max(0, row - BESIDE_ROWS), row + BESIDE_ROWS + 1)
    const hull = median(beside.map((radii) => radii[n % columns]))
    return Math.min(mm, Math.max(allowanceMm[n], hull - baseMm[n]))
  })
}

/** One stray ray widens the hull of its level: the middle one of so many levels above and below it counts. */
const BESIDE_ROWS = 2

function median(values: number[]): number {
  values.sort((a, b) => a - b)
  return values[Math.floor(values.length / 2)]
}
