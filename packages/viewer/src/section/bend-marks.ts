import { type AngledChannel, along, normalize, type Plan, scale } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { arrow, cased, label, line, onSheet } from '../drawing/lines.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { deg } from '../text/format.js'

/** Narrower drawings have no room for the angle. */
const roomyPx = 480
/** Radius of the angular dimension, mm. */
const arcMm = 4

/**
 * The least bent channel where a straight one does not leave as wanted: its centre line from the bend to its exit, and
 * the angle between the two (ISO 129-1, angular dimension).
 */
export function bendMarks(
  view: View,
  plan: Plan,
  { pivot, least, limitDeg }: AngledChannel,
  crownRightPx: number,
): SVGTemplateResult | typeof nothing {
  if (view.width < roomyPx || pivot === null || least === null || least.correctionDeg < 0.05) return nothing
  const coronal = scale(normalize(plan.fixture.apical), -1)
  const kind = least.correctionDeg > limitDeg ? 'below' : ''
  const centre = toPixel(view, pivot)
  const bent = toPixel(view, least.exit)
  const straight = toPixel(view, along(pivot, coronal, arcMm))
  const angle = (p: Pixel): number => Math.atan2(p[1] - centre[1], p[0] - centre[0])
  const radius = arcMm / view.mmPerPixel
  const [from, to] = [angle(straight), angle(bent)]
  const turn = ((((to - from) * 180) / Math.PI + 540) % 360) - 180
  const on = (a: number): Pixel => [centre[0] + radius * Math.cos(a), centre[1] + radius * Math.sin(a)]
  const sweep = turn > 0 ? 1 : 0
  const arc = `M${on(from).join(',')}A${radius},${radius} 0 0 ${sweep} ${on(to).join(',')}`
  const tangent = (a: number): Pixel => (turn > 0 ? [-Math.sin(a), Math.cos(a)] : [Math.sin(a), -Math.cos(a)])
  const text = `bend ${deg(least.correctionDeg)}`
  const middle = on((from + to) / 2)
  const left = onSheet(crownRightPx + 14, text, view.width)
  return svg`${line(centre, beyond(centre, bent, 10), `centre ${kind}`)}${cased(arc, `thin ${kind}`)}
    ${Math.abs(turn) * (Math.PI / 180) * radius < 14 ? nothing : arrow(on(to), tangent(to), kind)}
    ${line(middle, [left - 4, middle[1]], `thin ${kind}`)}${label([left, middle[1] + 4], text, 'start', kind)}
    ${cased(`M${centre[0] - 2.5},${centre[1]}a2.5,2.5 0 1 0 5,0a2.5,2.5 0 1 0 -5,0`, `thin ${kind}`)}`
}

/** A point some pixels beyond the second one. */
function beyond(a: Pixel, b: Pixel, px: number): Pixel {
  const size = Math.max(1e-6, Math.hypot(b[0] - a[0], b[1] - a[1]))
  return [b[0] + ((b[0] - a[0]) / size) * px, b[1] + ((b[1] - a[1]) / size) * px]
}
