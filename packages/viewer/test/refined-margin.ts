import type { ExposedRegion, MarginResult, RayFlag } from '@alveometer/core'
import { madeUpAssessment } from './assessment.js'

const { margin } = madeUpAssessment

/** One cell of the map made another. */
const withCell = <T>(rows: readonly (readonly T[])[], row: number, column: number, value: T): T[][] =>
  rows.map((cells, r) => cells.map((cell, c) => (r === row && c === column ? value : cell)))

const noFlags: readonly (readonly (readonly RayFlag[])[])[] = margin.flags
const tooth: readonly RayFlag[] = ['tooth', 'unrefined']

const facialWindow: ExposedRegion = {
  areaMm2: 2.34,
  fromMm: 5.6,
  toMm: 7.4,
  heightMm: 1.8,
  widthMm: 1.9,
  angleDeg: 10,
  sector: 'facial',
  open: false,
}

/**
 * The made-up margin as if refined: 2.5 mm deep a facial ray of ±0.23 mm behind a thin plate, a palatal one that may be
 * a tooth, a pinhole distally; three small windows beside a larger one.
 */
export const refinedMargin: MarginResult = {
  ...margin,
  mode: 'refined',
  halfWidthMm: withCell(margin.halfWidthMm, 1, 0, 0.23),
  flags: withCell(withCell(withCell(noFlags, 1, 0, ['thin']), 1, 6, tooth), 1, 9, ['leak']),
  cortexMm: margin.radialMm.map((row) => row.map((mm) => (mm === null ? null : mm / 2))),
  nearestMm: margin.radialMm.map((row) => row.map((mm) => (mm === null ? null : mm - 0.02))),
  fenestrations: [2.34, 0.6, 0.5, 0.4].map((areaMm2) => ({ ...facialWindow, areaMm2 })),
  fenestrationMm2: 3.84,
  aboveApexMm: 6.31,
}
