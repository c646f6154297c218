import { type CrownMarks, isPosterior, transformPoint, type Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, label, path } from '../drawing/lines.js'
import { parted } from '../drawing/parted.js'
import type { Pixel } from '../drawing/view.js'
import { type CrownDrawing, inDrawing } from './crown-drawing.js'

/** A landmark's name where it is asked for. */
const names: Readonly<Record<keyof CrownMarks, string>> = {
  edgeMesial: 'edge, mesial end',
  edgeDistal: 'edge, distal end',
  mesialContact: 'mesial contact',
  distalContact: 'distal contact',
  zenith: 'zenith of the margin',
}

/** Edge or groove, occlusal table, cervical margin, contacts and zenith; `marking`: the landmark that is being set. */
export function crownLines(drawing: CrownDrawing, marking: keyof CrownMarks | null): SVGTemplateResult {
  const { placed, side, at, isHidden } = drawing
  const { crown, pose } = placed
  const toLps = (p: Vec3): Vec3 => transformPoint(pose, p)
  const posterior = isPosterior(crown.tooth)
  const table =
    side === 'occlusal' && crown.occlusalTable !== null
      ? // Seen along the long axis a table has no height.
        path(
          crown.occlusalTable.map(([x, y]) => inDrawing(drawing, [x, y, 0])),
          true,
        )
      : ''
  // A groove is seen between the cusps alone; an edge from everywhere.
  const edge = side === 'occlusal' || !posterior ? path(crown.edge.map((p) => inDrawing(drawing, p))) : ''
  const margin = parted(crown.cejCurve.map(toLps), true, at, isHidden)
  const { mesialContact, distalContact, zenith } = crown.landmarks
  return svg`<path class="fine" d=${margin.seen}></path><path class="fine far" d=${margin.hidden}></path>
    ${cased(table, 'centre')}${cased(edge, 'centre')}
    ${[mesialContact, distalContact, zenith].map((p) => spot(drawing, p))}
    ${marking === null ? nothing : asked(drawing, marking)}`
}

/** A landmark: a small cross, fainter where the crown hides it. */
function spot(drawing: CrownDrawing, point: Vec3): SVGTemplateResult {
  const [x, y] = inDrawing(drawing, point)
  const hidden = drawing.isHidden(transformPoint(drawing.placed.pose, point))
  return svg`<path class=${hidden ? 'fine far' : 'fine spot'} d=${saltire([x, y], 3.5)}></path>`
}

const saltire = ([x, y]: Pixel, r: number): string =>
  path([
    [x - r, y - r],
    [x + r, y + r],
  ]) +
  path([
    [x - r, y + r],
    [x + r, y - r],
  ])

/** The landmark that the next click sets, where it is now. */
function asked(drawing: CrownDrawing, marking: keyof CrownMarks): SVGTemplateResult {
  const [x, y] = inDrawing(drawing, drawing.placed.crown.landmarks[marking])
  const right = x < drawing.view.width / 2
  return svg`<circle class="asked" cx=${x.toFixed(1)} cy=${y.toFixed(1)} r="8"></circle>
    ${label([x + (right ? 12 : -12), y + 4], names[marking], right ? 'start' : 'end', 'hand')}`
}
