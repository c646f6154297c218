import {
  type AccessChannel,
  type AngledChannel,
  type Bend,
  type ExitResult,
  edgeAt,
  invert,
  oralSide,
  type Plan,
  transformPoint,
} from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, dimension, label, path } from '../drawing/lines.js'
import { parted } from '../drawing/parted.js'
import type { Pixel } from '../drawing/view.js'
import { type WallSpan, wallSpan } from '../drawing/wall-span.js'
import { deg, mm } from '../text/format.js'
import { type CrownDrawing, inDrawing } from './crown-drawing.js'
import { type Note, notes, pixelBox } from './notes.js'
import { wantedZone } from './wanted-zone.js'

/** What is known of the access through a crown; any part may be missing. */
export interface Access {
  readonly plan: Plan
  readonly exit: ExitResult | null
  readonly channel: AccessChannel | null
  readonly angled: AngledChannel | null
}

/** The exit with its outline, how far it lies off the edge, the wanted and the reachable zone, and the least wall. */
export function exitLines(drawing: CrownDrawing, { plan, exit, channel, angled }: Access): SVGTemplateResult {
  const wall = channel === null ? null : wallSpan(plan, channel, channel.wall)
  const kind = exit?.class === 'facial' || wall?.below === true ? 'below' : ''
  const along = drawing.side === 'occlusal'
  return svg`${along ? wantedZone(drawing, plan, exit?.point ?? null, channel?.diameterMm ?? 0) : nothing}
    ${angled === null ? nothing : reach(drawing, angled)}
    ${channel === null ? nothing : opening(drawing, channel, kind)}
    ${exit === null || !along ? nothing : offset(drawing, exit)}
    ${notes(drawing, [
      ...(wall === null ? [] : [wallNote(drawing, wall)]),
      ...(angled === null ? [] : [...bendNotes(drawing, angled), ...reachNotes(drawing, angled)]),
    ])}
    ${wall === null ? nothing : leastWall(drawing, wall)}
    ${angled === null ? nothing : leastBend(drawing, angled)}`
}

function opening(
  drawing: CrownDrawing,
  channel: AccessChannel,
  kind: string,
): SVGTemplateResult | typeof nothing {
  const { outline, centroid } = channel
  if (outline === null) return nothing
  const { seen, hidden } = parted(outline, true, drawing.at, drawing.isHidden)
  const share = outline.filter(drawing.isHidden).length / outline.length
  const hatched = share < 0.3 ? path(outline.map(drawing.at), true) : ''
  const middle = centroid === null ? '' : plus(drawing.at(centroid), 4)
  return svg`<path class="hatching" fill=${kind === 'below' ? 'url(#bore-below)' : 'url(#bore)'} d=${hatched}></path>
    <path class="fine far ${kind}" d=${hidden}></path>${cased(seen, `out ${kind}`)}
    ${share < 0.5 ? cased(middle, `thin ${kind}`) : svg`<path class="fine ${kind}" d=${middle}></path>`}`
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
  if (point === null || offsetMm === null) return nothing
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
function reach(drawing: CrownDrawing, { reachable }: AngledChannel): SVGTemplateResult | typeof nothing {
  if (reachable === null) return nothing
  const { seen, hidden } = parted(reachable, true, drawing.at, drawing.isHidden)
  return svg`${cased(seen, 'thin')}<path class="fine far" d=${hidden}></path>`
}

function reachNotes(drawing: CrownDrawing, { reachable, limitDeg }: AngledChannel): Note[] {
  const seen = (reachable ?? []).filter((p) => !drawing.isHidden(p))
  return seen.length === 0
    ? []
    : [{ places: seen.map(drawing.at), text: `${deg(limitDeg, 0)} reach`, kind: '' }]
}

/** Where the least bent channel leaves that leaves where it is wanted; null where none needs to bend. */
const bentExit = ({ least }: AngledChannel): Bend | null =>
  least !== null && least.correctionDeg >= 0.05 ? least : null

const bendKind = (bend: Bend, { limitDeg }: AngledChannel): string =>
  bend.correctionDeg > limitDeg ? 'below' : ''

function bendNotes(drawing: CrownDrawing, angled: AngledChannel): Note[] {
  const bend = bentExit(angled)
  if (bend === null || drawing.isHidden(bend.exit)) return []
  return [
    {
      places: [drawing.at(bend.exit)],
      text: `bend ${deg(bend.correctionDeg)}`,
      kind: bendKind(bend, angled),
    },
  ]
}

/** A small diamond. */
function leastBend(drawing: CrownDrawing, angled: AngledChannel): SVGTemplateResult | typeof nothing {
  const bend = bentExit(angled)
  if (bend === null) return nothing
  const [x, y] = drawing.at(bend.exit)
  const d = path(
    [
      [x, y - 6],
      [x + 6, y],
      [x, y + 6],
      [x - 6, y],
    ],
    true,
  )
  const kind = bendKind(bend, angled)
  return drawing.isHidden(bend.exit)
    ? svg`<path class="fine far ${kind}" d=${d}></path>`
    : cased(d, `thin ${kind}`)
}

const wallNote = (drawing: CrownDrawing, wall: WallSpan): Note => ({
  places: [drawing.at(wall.outer)],
  text: `wall ${mm(wall.mm)}`,
  kind: wall.below ? 'below' : '',
})

/** The least wall: a dimension where the drawing shows its true length; a dot at its place, hollow where it is hidden. */
function leastWall(drawing: CrownDrawing, wall: WallSpan): SVGTemplateResult {
  const [inner, outer] = [drawing.at(wall.inner), drawing.at(wall.outer)]
  const kind = wall.below ? 'below' : ''
  const drawnPx = Math.hypot(outer[0] - inner[0], outer[1] - inner[1])
  const isTrue = wall.mm > 0 && drawnPx > (0.85 * wall.mm) / drawing.view.mmPerPixel
  const hollow = drawing.isHidden(wall.outer) ? 'hollow' : ''
  return svg`${isTrue ? dimension(inner, outer, '', { kind }) : nothing}
    <circle class="dot ${kind} ${hollow}" cx=${outer[0].toFixed(1)} cy=${outer[1].toFixed(1)} r="3"></circle>`
}
