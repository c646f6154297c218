import {
  type AccessChannel,
  type AngledChannel,
  type ExitResult,
  edgeAt,
  invert,
  isPosterior,
  oralSide,
  type Plan,
  transformPoint,
} from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { arrow, cased, dimension, label, line, path } from '../drawing/lines.js'
import { parted } from '../drawing/parted.js'
import type { Pixel } from '../drawing/view.js'
import { limitOf, type WallSpan, wallSpan } from '../drawing/wall-span.js'
import { deg, mm } from '../text/format.js'
import { axisOnDrawing, type CrownDrawing, inDrawing } from './crown-drawing.js'
import { note, pixelBox } from './note-places.js'

/** What is known of the access through a crown; any part may be missing. */
export interface Access {
  readonly plan: Plan
  readonly exit: ExitResult | null
  readonly channel: AccessChannel | null
  readonly angled: AngledChannel | null
}

/** The exit with its outline, how far it lies off the edge, the wanted and the reachable zone, and the least wall. */
export function exitLines(drawing: CrownDrawing, access: Access): SVGTemplateResult {
  const { plan, exit, channel, angled } = access
  const wall = channel === null ? null : wallSpan(plan, channel, channel.wall)
  const kind = exit?.class === 'facial' || wall?.below === true ? 'below' : ''
  return svg`${drawing.side === 'occlusal' ? wantedZone(drawing, plan) : nothing}
    ${angled === null ? nothing : reach(drawing, angled)}
    ${channel === null ? nothing : opening(drawing, channel, kind)}
    ${exit === null ? nothing : offset(drawing, exit)}
    ${wall === null ? nothing : leastWall(drawing, wall)}
    ${angled === null ? nothing : leastBend(drawing, angled)}`
}

/** Anterior teeth: the line from which on the exit lies behind the edge. Posterior ones have their table drawn. */
function wantedZone(drawing: CrownDrawing, plan: Plan): SVGTemplateResult | typeof nothing {
  const { crown } = drawing.placed
  const bandMm = limitOf(plan, 'edgeBandMm')
  if (isPosterior(crown.tooth) || bandMm === undefined) return nothing
  const points = crown.edge.map(([x, y, z]) => inDrawing(drawing, [x - bandMm, y, z]))
  const end = points.reduce((a, b) => (b[0] > a[0] ? b : a))
  const [x, y] = axisOnDrawing(drawing, 0)
  const size = Math.hypot(x, y)
  const oral: Pixel = [-x / size, -y / size]
  const tip: Pixel = [end[0] + oral[0] * 22, end[1] + oral[1] * 22]
  return svg`${cased(path(points), 'thin far')}${line(end, tip, 'thin')}${arrow(tip, oral, '')}
    ${label([tip[0] - 8, tip[1] - 2], 'wanted', 'end', 'quiet')}`
}

function opening(
  drawing: CrownDrawing,
  channel: AccessChannel,
  kind: string,
): SVGTemplateResult | typeof nothing {
  const { outline, centroid } = channel
  if (outline === null) return nothing
  const { seen, hidden } = parted(outline, true, drawing.at, drawing.isHidden)
  const hatched = hidden === '' ? path(outline.map(drawing.at), true) : ''
  const middle = centroid === null ? null : drawing.at(centroid)
  return svg`<path class="hatching" fill=${kind === 'below' ? 'url(#bore-below)' : 'url(#bore)'} d=${hatched}></path>
    <path class="fine far ${kind}" d=${hidden}></path>${cased(seen, `out ${kind}`)}
    ${middle === null ? nothing : cased(plus(middle, 4), `thin ${hidden === '' ? '' : 'far'} ${kind}`)}`
}

const plus = ([x, y]: Pixel, r: number): string =>
  path([
    [x - r, y],
    [x + r, y],
  ]) +
  path([
    [x, y - r],
    [x, y + r],
  ])

/** How far the channel's axis leaves from the edge line: dimensioned beside the crown, on the left. */
function offset(
  drawing: CrownDrawing,
  { point, offsetMm, class: kindOfExit }: ExitResult,
): SVGTemplateResult | typeof nothing {
  if (point === null || offsetMm === null || drawing.side !== 'occlusal') return nothing
  const { crown, pose } = drawing.placed
  const [, y] = transformPoint(invert(pose), point)
  const from = inDrawing(drawing, edgeAt(crown, y))
  const to = drawing.at(point)
  const kind = kindOfExit === 'facial' ? 'below' : ''
  const x = Math.max(70, pixelBox(drawing).left - 12)
  const word = offsetMm >= 0 ? 'facial' : oralSide(crown.tooth)
  const middle = (from[1] + to[1]) / 2
  return svg`${dimension(from, to, '', { offset: [x - to[0], 0], kind })}${cased(plus(to, 7), `thin ${kind}`)}
    ${label([x - 9, middle - 2], mm(Math.abs(offsetMm)), 'end', kind)}${label([x - 9, middle + 13], word, 'end', kind)}`
}

/** The zone that channels bent by no more than the limit can leave by. */
function reach(
  drawing: CrownDrawing,
  { reachable, limitDeg }: AngledChannel,
): SVGTemplateResult | typeof nothing {
  if (reachable === null || reachable.length < 3) return nothing
  const { seen, hidden } = parted(reachable, true, drawing.at, drawing.isHidden)
  const shown = reachable.filter((p) => !drawing.isHidden(p)).map(drawing.at)
  const place = furthest(shown, [1, 1])
  return svg`${cased(seen, 'thin')}<path class="fine far" d=${hidden}></path>
    ${place === null ? nothing : note(drawing, 'lower right', place, `${deg(limitDeg, 0)} reach`)}`
}

const furthest = (points: readonly Pixel[], [dx, dy]: Pixel): Pixel | null =>
  points.reduce<Pixel | null>(
    (a, p) => (a === null || p[0] * dx + p[1] * dy > a[0] * dx + a[1] * dy ? p : a),
    null,
  )

/** Where the least bent channel leaves that leaves where it is wanted. */
function leastBend(drawing: CrownDrawing, { least }: AngledChannel): SVGTemplateResult | typeof nothing {
  if (least === null || least.correctionDeg < 0.05) return nothing
  const [x, y] = drawing.at(least.exit)
  const d = path(
    [
      [x, y - 6],
      [x + 6, y],
      [x, y + 6],
      [x - 6, y],
    ],
    true,
  )
  if (drawing.isHidden(least.exit)) return svg`<path class="fine far" d=${d}></path>`
  return svg`${note(drawing, 'lower left', [x - 4, y + 4], `bend ${deg(least.correctionDeg)}`)}${cased(d, 'thin')}`
}

/** The least wall: a dimension where the drawing shows its true length, else its place alone. */
function leastWall(drawing: CrownDrawing, wall: WallSpan): SVGTemplateResult {
  const [inner, outer] = [drawing.at(wall.inner), drawing.at(wall.outer)]
  const kind = wall.below ? 'below' : ''
  const drawnPx = Math.hypot(outer[0] - inner[0], outer[1] - inner[1])
  const isTrue = wall.mm > 0 && drawnPx > (0.85 * wall.mm) / drawing.view.mmPerPixel
  const leader = drawing.isHidden(wall.outer) ? `far ${kind}` : kind
  return svg`${note(drawing, 'upper right', outer, `wall ${mm(wall.mm)}`, leader)}
    ${isTrue ? dimension(inner, outer, '', { kind }) : nothing}
    <circle class="dot ${kind}" cx=${outer[0].toFixed(1)} cy=${outer[1].toFixed(1)} r="2.5"></circle>`
}
