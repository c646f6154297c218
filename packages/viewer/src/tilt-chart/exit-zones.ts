import { type ExitClass, isPosterior, oralSide, type TiltChart } from '@alveometer/core'
import type { Pixel } from '../drawing/view.js'
import { type ChartGrid, latticeOf } from './chart-grid.js'
import { isoLines } from './iso-lines.js'
import { roundingOff, smoothed } from './smoothed.js'

/** Where the channel leaves the crown, or that it does not meet it. */
export type ZoneKey = ExitClass | 'none'

/** The tilts whose channel leaves the crown at one place. */
export interface ExitZone {
  readonly key: ZoneKey
  readonly wanted: boolean
  /** Its outline inside the picture, pixels: the zone lies to the left as one follows a line. */
  readonly lines: readonly (readonly Pixel[])[]
  /** Which cells belong to it, as the record has them in order. */
  readonly holds: readonly boolean[]
}

/** Where an exit is wanted: behind the edge on anterior teeth, in the occlusal table on posterior ones. */
export const wantedExit = (tooth: string): ExitClass => (isPosterior(tooth) ? 'occlusal' : oralSide(tooth))

/**
 * The exit classes as zones. Their outlines are those of the cells with the steps rounded off: they lie within about half
 * a cell of them.
 */
export function exitZones(
  chart: Pick<TiltChart, 'exit' | 'tooth' | 'coarseness'>,
  grid: ChartGrid,
): ExitZone[] {
  const columns = grid.spec.columns.count
  const { coarseness } = chart
  const classes: readonly ZoneKey[] = chart.exit.map((exit) => exit ?? 'none')
  const keys = [...new Set(classes)]
  const shares = keys.map((key) => {
    const share = classes.map((own) => (own === key ? 1 : 0))
    // Cells of a coarse chart are too far apart to be rounded off: a narrow zone would be lost.
    return coarseness > 1 ? share : smoothed(share, columns, roundingOff)
  })
  const wanted = wantedExit(chart.tooth)
  return keys.map((key, own) => {
    const ahead = classes.map((_, cell) => {
      const others = shares.map((share, n) => (n === own ? 0 : (share[cell] ?? 0)))
      return (shares[own]?.[cell] ?? 0) - Math.max(0, ...others)
    })
    return {
      key,
      wanted: key === wanted,
      lines: keys.length === 1 ? [] : isoLines(latticeOf(grid, ahead, coarseness), 0),
      holds: ahead.map((by) => by >= 0),
    }
  })
}
