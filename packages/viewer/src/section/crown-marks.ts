import {
  type Assessment,
  along,
  edgeAt,
  fixtureFrame,
  fromRows,
  invert,
  isPosterior,
  oralSide,
  type Plan,
  tabulatedCrown,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, dimension, line, onSheet, path, textWidth } from '../drawing/lines.js'
import { buttonRoom, buttonTop } from '../drawing/stage-style.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { mm } from '../text/format.js'

/** A channel for a screw and its driver, mm: what a crown is usually opened to; drawn, not measured. */
const channelDiameterMm = 2.3

/** The crown cut by the section: outline and hatching (ISO 128-3, sections). */
export function crownMarks(view: View, outline: readonly (readonly Vec3[])[]): SVGTemplateResult {
  const d = outline
    .map((loop) =>
      path(
        loop.map((p) => toPixel(view, p)),
        true,
      ),
    )
    .join('')
  return svg`<path class="hatching" fill="url(#hatch)" d=${d} fill-rule="evenodd"></path>${cased(d, 'out')}`
}

/** The access channel: centre line through platform and crown, drawn on past both ends, and the walls in the crown. */
export function channelMarks(
  view: View,
  plan: Plan,
  assessment: Assessment | null,
  crownTopMm: number,
): SVGTemplateResult {
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const exit = assessment?.exit.point ?? null
  const exitMm = exit === null ? crownTopMm : depthOf(frame.origin, frame.z, exit)
  const at = (depthMm: number, radiusMm = 0): Pixel =>
    toPixel(view, along(along(frame.origin, frame.z, depthMm), frame.x, radiusMm))
  const wall = (side: number): SVGTemplateResult =>
    line(at(0, (side * channelDiameterMm) / 2), at(exitMm, (side * channelDiameterMm) / 2), 'thin')
  return svg`${wall(1)}${wall(-1)}`
}

const depthOf = (origin: Vec3, z: Vec3, p: Vec3): number =>
  (p[0] - origin[0]) * z[0] + (p[1] - origin[1]) * z[1] + (p[2] - origin[2]) * z[2]

/** Where the channel leaves the crown, with its distance from the incisal edge. */
export function exitMarks(
  view: View,
  plan: Plan,
  assessment: Assessment,
  outline: readonly (readonly Vec3[])[],
): SVGTemplateResult | typeof nothing {
  const { point, offsetMm } = assessment.exit
  if (point === null || offsetMm === null) return nothing
  const { pose } = plan.crown
  const facial: Vec3 = [pose[0] ?? 0, pose[4] ?? 0, pose[8] ?? 0]
  const coronal: Vec3 = [-(pose[2] ?? 0), -(pose[6] ?? 0), -(pose[10] ?? 0)]
  const exit = toPixel(view, point)
  const edge = toPixel(view, edgePoint(plan, point) ?? along(point, facial, -offsetMm))
  const origin = toPixel(view, [0, 0, 0])
  const outward = minus(toPixel(view, coronal), origin)
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

/** The incisal edge (or central groove) at the exit's mesiodistal place, LPS mm; null for an imported crown. */
function edgePoint({ crown }: Plan, exit: Vec3): Vec3 | null {
  if (crown.kind !== 'tabulated') return null
  const pose = fromRows(crown.pose)
  const [, y] = transformPoint(invert(pose), exit)
  return transformPoint(pose, edgeAt(tabulatedCrown(crown.tooth), y))
}

const minus = (a: Pixel, b: Pixel): Pixel => [a[0] - b[0], a[1] - b[1]]
