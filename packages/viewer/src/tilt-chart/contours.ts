import type { ChartField, TiltChart } from '@alveometer/core'
import type { Pixel } from '../drawing/view.js'
import { deg, mm3 } from '../text/format.js'
import { type ChartGrid, latticeOf } from './chart-grid.js'
import { wantedExit } from './exit-zones.js'
import { isoLines, lengthOf } from './iso-lines.js'

/** Tilts that need the same bend of the channel, or the same volume of graft. */
export interface Contour {
  readonly kind: 'bend' | 'limit' | 'graft'
  /** Its lettering, and a shorter one for a small picture. */
  readonly text: string
  readonly short: string
  readonly lines: readonly (readonly Pixel[])[]
}

/** Bends that are drawn, besides the limit: those that the trade's parts come in, common practice. */
const bendsDeg = [10, 20, 30]
/** Lines of the graft that are aimed at. */
const graftLines = 4
/** A line as short as this is a dot, pixels. */
const shortestPx = 18

/** Round volumes (1, 2 or 5 times a power of ten) that part a field's range into about four; its extremes do not count. */
export function roundLevels(field: ChartField): number[] {
  const values = field.filter((value) => value !== null && value > 0).sort((a, b) => (a ?? 0) - (b ?? 0))
  const greatest = values[Math.floor(0.95 * (values.length - 1))] ?? 0
  if (greatest < 1) return []
  const rough = greatest / graftLines
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = power * ([1, 2, 5].find((factor) => factor * power >= rough) ?? 10)
  return Array.from({ length: Math.floor(greatest / step) }, (_, n) => (n + 1) * step)
}

export function contours(chart: TiltChart, grid: ChartGrid): Contour[] {
  const linesOf = (field: ChartField) => {
    const lattice = latticeOf(grid, field, chart.coarseness)
    return (level: number): Pixel[][] =>
      isoLines(lattice, level).filter((line) => lengthOf(line) >= shortestPx)
  }
  const bend = linesOf(chart.correctionDeg)
  const graft = linesOf(chart.graftMm3)
  const limitDeg = chart.limits.correctionDeg?.value ?? null
  const bends = bendsDeg.filter((level) => limitDeg === null || Math.abs(level - limitDeg) >= 2)
  return [
    ...(limitDeg === null
      ? []
      : [
          {
            kind: 'limit',
            text: `bend limit ${deg(limitDeg, 0)}`,
            short: `limit ${deg(limitDeg, 0)}`,
            lines: bend(limitDeg),
          } as const,
        ]),
    ...bends.map(
      (level) =>
        ({ kind: 'bend', text: `bend ${deg(level, 0)}`, short: deg(level, 0), lines: bend(level) }) as const,
    ),
    ...roundLevels(chart.graftMm3).map(
      (level) => ({ kind: 'graft', text: mm3(level), short: mm3(level), lines: graft(level) }) as const,
    ),
  ].filter(({ lines }) => lines.length > 0)
}

/** Which lines a chart has, whatever the size it is drawn at. */
export function linesOn({ exit, tooth, correctionDeg, graftMm3 }: TiltChart): {
  readonly wanted: boolean
  readonly bend: boolean
  readonly graft: boolean
} {
  const wanted = wantedExit(tooth)
  const least = Math.min(...bendsDeg)
  return {
    wanted: exit.includes(wanted) && exit.some((kind) => kind !== wanted),
    bend: correctionDeg.some((bendDeg) => bendDeg !== null && bendDeg >= least),
    graft: roundLevels(graftMm3).length > 0,
  }
}
