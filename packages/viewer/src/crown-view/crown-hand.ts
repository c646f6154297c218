import type { Plan } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { turningArc } from '../drawing/turning-arc.js'
import type { Pixel } from '../drawing/view.js'
import { tiltCrown, turnCrown } from '../session/index.js'
import { crownBox } from './crown-axes.js'
import { axisOnDrawing, type CrownDrawing, inDrawing } from './crown-drawing.js'

/** What the hand can take hold of. */
export type CrownGrip = 'crown' | 'turn'

const names: Readonly<Record<CrownGrip, string>> = {
  crown: 'Crown: drag to move it; arrow keys 0.1 mm, with Shift turn by 0.5 degrees',
  turn: 'Turning handle: drag to turn the crown; left and right arrow keys 0.5 degrees',
}

/** The point a crown turns about: its cervical centre. */
export const turningCentre = (drawing: CrownDrawing): Pixel => inDrawing(drawing, [0, 0, 0])

/** The plan with its crown turned clockwise on the drawing, about the direction looked along. */
export function turnedClockwise(drawing: CrownDrawing, plan: Plan, clockwiseDeg: number): Plan {
  const { side, placed } = drawing
  const along = side === 'occlusal'
  // Positive turns take the facial face, or the edge, towards mesial.
  const from = axisOnDrawing(drawing, along ? 0 : 2)
  const mesialY = placed.crown.landmarks.mesialContact[1] > placed.crown.landmarks.distalContact[1] ? 1 : -1
  const towards = axisOnDrawing(drawing, 1)
  const cross = (from[0] * towards[1] - from[1] * towards[0]) * mesialY * (along ? 1 : -1)
  const deg = cross > 0 ? clockwiseDeg : -clockwiseDeg
  return along ? turnCrown(plan, deg) : tiltCrown(plan, 0, deg)
}

/** Pixels between the crown and its turning handle. */
const apart = 20

/** Where the turning handle stands: beside the crown, or beyond its edge. */
export function turnHandle(drawing: CrownDrawing): Pixel {
  const [low, high] = crownBox(drawing.placed.crown)
  const middle = (axis: 0 | 1 | 2): number => (low[axis] + high[axis]) / 2
  const end =
    drawing.side === 'occlusal'
      ? inDrawing(drawing, [middle(0), high[1], middle(2)])
      : inDrawing(drawing, [middle(0), middle(1), low[2]])
  const from = inDrawing(drawing, [middle(0), middle(1), middle(2)])
  const size = Math.max(1, Math.hypot(end[0] - from[0], end[1] - from[1]))
  return [end[0] + ((end[0] - from[0]) / size) * apart, end[1] + ((end[1] - from[1]) / size) * apart]
}

/** Where the diamond stands: on the crown, in the quarter that lies furthest from the exit. */
export function moveHandle(drawing: CrownDrawing, exit: Pixel | null): Pixel {
  const [low, high] = crownBox(drawing.placed.crown)
  const at = (axis: 0 | 1 | 2, share: number): number => low[axis] + share * (high[axis] - low[axis])
  const spots = [0.25, 0.75].flatMap((across) =>
    [0.35, 0.65].map((up) => {
      const [x, z] = drawing.side === 'occlusal' ? [at(0, up), at(2, 0.5)] : [at(0, 0.5), at(2, up)]
      return inDrawing(drawing, [x, at(1, across), z])
    }),
  )
  const from = exit ?? inDrawing(drawing, [at(0, 0.5), at(1, 0.6), at(2, 0.4)])
  const free = (p: Pixel): number => Math.hypot(p[0] - from[0], p[1] - from[1])
  return spots.reduce((a, b) => (free(b) > free(a) + 1 ? b : a))
}

/** The handles: the whole crown with its diamond, and the round one that turns it. */
export function crownGrips(
  drawing: CrownDrawing,
  outline: { readonly d: string; readonly transform: string },
  exit: Pixel | null,
): SVGTemplateResult {
  const [x, y] = moveHandle(drawing, exit)
  const [tx, ty] = turnHandle(drawing)
  return svg`<g class="grip" part="handle handle-crown" data-handle="crown" tabindex="0" role="button" aria-label=${names.crown}>
      <title>${names.crown}</title><path class="area" d=${outline.d} transform=${outline.transform}></path>
      <circle class="area" cx=${x} cy=${y} r="22"></circle>
      <rect class="mark" x=${x - 6} y=${y - 6} width="12" height="12" transform="rotate(45 ${x} ${y})"></rect></g>
    <g class="grip" part="handle handle-turn" data-handle="turn" tabindex="0" role="button" aria-label=${names.turn}>
      <title>${names.turn}</title><circle class="area" cx=${tx} cy=${ty} r="22"></circle>
      <path class="arc hand" d=${turningArc(turningCentre(drawing), [tx, ty])}></path>
      <circle class="mark" cx=${tx} cy=${ty} r="7"></circle></g>`
}
