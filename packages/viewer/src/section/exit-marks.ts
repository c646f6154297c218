import {
  type Assessment,
  along,
  column,
  edgeAt,
  invert,
  isPosterior,
  oralSide,
  type PlacedCrown,
  type Plan,
  scale,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, dimension, line, onSheet, path, textWidth } from '../drawing/lines.js'
import { buttonRoom, buttonTop } from '../drawing/stage-style.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { mm } from '../text/format.js'

/** Where the channel leaves the crown, with its distance from the incisal edge. */
export function exitMarks(
  view: View,
  plan: Plan,
  placed: PlacedCrown | null,
  assessment: Assessment,
  outline: readonly (readonly Vec3[])[],
): SVGTemplateResult | typeof nothing {
  const { point, offsetMm } = assessment.exit
  if (point === null || offsetMm === null) return nothing
  const exit = toPixel(view, point)
  const edge = toPixel(
    view,
    placed === null ? along(point, plan.site.facial, -offsetMm) : edgeBeside(placed, point),
  )
  const coronal = placed === null ? plan.site.coronal : scale(column(placed.pose, 2), -1)
  const outward = minus(toPixel(view, coronal), toPixel(view, [0, 0, 0]))
  const size = Math.hypot(outward[0], outward[1])
  if (size < 1e-6) return nothing
  const unit: Pixel = [outward[0] / size, outward[1] / size]
  const along2d = (p: Pixel): number => p[0] * unit[0] + p[1] * unit[1]
  const tip = Math.max(along2d(exit), along2d(edge), ...outline.flat().map((p) => along2d(toPixel(view, p))))
  const level = tip + 24
  const lowered = (p: Pixel, to: number): Pixel => [
    p[0] + unit[0] * (to - along2d(p)),
    p[1] + unit[1] * (to - along2d(p)),
  ]
  const [from, to] = [lowered(edge, level), lowered(exit, level)]
  const edgeName = isPosterior(plan.site.tooth) ? 'central groove' : 'incisal edge'
  const side = offsetMm >= 0 ? 'facial' : oralSide(plan.site.tooth)
  const kind = assessment.exit.class === 'facial' ? 'below' : ''
  const short = `exit ${mm(Math.abs(offsetMm))} ${side}`
  const text = view.width < 480 ? short : `${short} of ${edgeName}`
  const middle = lowered([(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], level + 22)
  // Left of the buttons in the lower right corner.
  const room = middle[1] > view.height - buttonTop ? view.width - buttonRoom : view.width
  const r = 4.5
  const ring = `M${exit[0] - r},${exit[1]}a${r},${r} 0 1 0 ${2 * r},0a${r},${r} 0 1 0 ${-2 * r},0`
  const cross =
    path([
      [exit[0] - 9, exit[1]],
      [exit[0] + 9, exit[1]],
    ]) +
    path([
      [exit[0], exit[1] - 9],
      [exit[0], exit[1] + 9],
    ])
  return svg`${extension(edge, lowered(edge, level + 7), unit, kind)}${extension(exit, lowered(exit, level + 7), unit, kind)}
    ${dimension(from, to, '', { kind, bare: true })}${cased(ring + cross, `thin ${kind}`)}
    <text class="note ${kind}" x=${onSheet(middle[0] - textWidth(text) / 2, text, room).toFixed(1)} y=${(middle[1] + 4).toFixed(1)} text-anchor="start">${text}</text>`
}

/** From a little off the measured point to past the dimension line (ISO 129-1). */
const extension = (from: Pixel, to: Pixel, unit: Pixel, kind: string): SVGTemplateResult =>
  line([from[0] + unit[0] * 3, from[1] + unit[1] * 3], to, `thin ${kind}`)

/** The incisal edge (or central groove) at the exit's mesiodistal place, LPS mm. */
function edgeBeside({ crown, pose }: PlacedCrown, exit: Vec3): Vec3 {
  const [, y] = transformPoint(invert(pose), exit)
  return transformPoint(pose, edgeAt(crown, y))
}

const minus = (a: Pixel, b: Pixel): Pixel => [a[0] - b[0], a[1] - b[1]]
