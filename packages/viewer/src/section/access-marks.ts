import type { Assessment, PlacedCrown, Plan, Vec3 } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { toPixel, type View } from '../drawing/view.js'
import { bendMarks } from './bend-marks.js'
import { exitMarks } from './exit-marks.js'
import { wallMarks } from './wall-marks.js'

/** What was measured of the access: bend, wall, and the exit's distance from the edge. */
export function accessMarks(
  view: View,
  plan: Plan,
  placed: PlacedCrown | null,
  assessment: Assessment,
  outline: readonly (readonly Vec3[])[],
): SVGTemplateResult {
  const across = outline.flat().map((p) => toPixel(view, p)[0])
  const left = across.reduce((a, b) => Math.min(a, b), view.width / 2)
  const right = across.reduce((a, b) => Math.max(a, b), view.width / 2)
  const { channel, angled } = assessment
  return svg`${bendMarks(view, plan, angled, right)}${wallMarks(view, plan, channel, [left, right])}
    ${exitMarks(view, plan, placed, assessment, outline)}`
}
