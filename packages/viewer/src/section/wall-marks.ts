import { type AccessChannel, along, dot, fixtureFrame, type Plan, subtract } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { dimension, label, line, onSheet, textWidth } from '../drawing/lines.js'
import { buttonRoom, buttonTop } from '../drawing/stage-style.js'
import { toPixel, type View } from '../drawing/view.js'
import { wallSpan } from '../drawing/wall-span.js'
import { mm } from '../text/format.js'

/** A wall further off the section's plane than this is not drawn in it, mm. */
const nearMm = 1

/** The least wall of the channel, where it lies near the section: dimensioned, and lettered beside the crown. */
export function wallMarks(
  view: View,
  plan: Plan,
  channel: AccessChannel,
  [leftPx, rightPx]: readonly [leftPx: number, rightPx: number],
): SVGTemplateResult | typeof nothing {
  const wall = wallSpan(plan, channel, channel.wall)
  if (wall === null) return nothing
  const { origin, y } = fixtureFrame(plan.fixture, plan.site.facial)
  if (Math.abs(dot(subtract(wall.outer, origin), y)) > nearMm) return nothing
  const [inner, outer] = [toPixel(view, wall.inner), toPixel(view, wall.outer)]
  const kind = wall.below ? 'below' : ''
  const text = `wall ${mm(wall.mm)}`
  const right = outer[0] > inner[0] === wall.mm >= 0
  // Facially the crown's tilting handle stands by the edge: the lettering keeps towards the apex.
  const towardsApex = toPixel(view, along(wall.outer, plan.fixture.apical, 1))[1] - outer[1] > 0 ? 1 : -1
  // On the other side it keeps off the line from which the platform's depth is dimensioned.
  const level = outer[1] + (right ? -16 : 28) * towardsApex
  // Beside the zoom buttons there is less room.
  const room = level > view.height - buttonTop ? view.width - buttonRoom : view.width
  const left = onSheet(right ? rightPx + 22 : leftPx - 22 - textWidth(text), text, room)
  const end = right ? left - 4 : left + textWidth(text) + 2
  return svg`${wall.mm > 0 ? dimension(inner, outer, '', { kind }) : nothing}
    ${line(outer, [end, level], `thin ${kind}`)}${label([left, level + 4], text, 'start', kind)}`
}
