import type { Vec3 } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { cased, path } from '../drawing/lines.js'
import { toPixel, type View } from '../drawing/view.js'

/** Half the size of a place's cross, pixels. */
const arm = 6

/** What there is on a slice above the platform: the planned crown, closed lines in LPS mm. */
export const aboveMarks = (view: View, outline: readonly (readonly Vec3[])[]): SVGTemplateResult =>
  cased(outline.map((line) => `${path(line.map((p) => toPixel(view, p)))}Z`).join(''), 'out')

/** Places that were pointed at, LPS mm, as crosses where they lie over or under the slice. */
export const placeMarks = (view: View, places: readonly Vec3[]): SVGTemplateResult => {
  const crosses = places.map((place) => {
    const [x, y] = toPixel(view, place)
    return `M${x - arm} ${y - arm}L${x + arm} ${y + arm}M${x - arm} ${y + arm}L${x + arm} ${y - arm}`
  })
  return svg`<g data-places>${cased(crosses.join(''), 'thin hand')}</g>`
}
