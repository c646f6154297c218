import type { Plan, Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { drawnAlong, turnedRound, type Way } from '../drawing/drag.js'
import { path } from '../drawing/lines.js'
import { turningArc } from '../drawing/turning-arc.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { crownOrigin, turnCrown } from '../session/index.js'

/** What of the crown the hand can take hold of on a slice through it. */
export type CrownHold = 'crown' | 'crown-turn'

const names: Readonly<Record<CrownHold, string>> = {
  crown: 'Crown: drag to move it within the slice',
  'crown-turn': 'Turning handle: drag to turn the crown about its long axis',
}

/** Pixels between the crown's outline and its turning handle. */
const apart = 20

/** The crown's cut as a grip with its diamond, and the round handle that turns it; nothing where the slice misses it. */
export function crownHolds(
  view: View,
  plan: Plan,
  outline: readonly (readonly Vec3[])[],
): SVGTemplateResult | typeof nothing {
  const lines = outline.map((line) => line.map((p) => toPixel(view, p)))
  const all = lines.flat()
  if (all.length === 0) return nothing
  const [x, y] = middleOf(all)
  // On the oral side, clear of the letters at both sides.
  const lowest = Math.max(...all.map((p) => p[1]))
  const turn: Pixel = [x, Math.min(view.height - 40, lowest + apart)]
  return svg`<g class="grip" part="handle handle-crown" data-handle="crown">
      <title>${names.crown}</title><path class="area" d=${lines.map((line) => path(line, true)).join('')}></path>
      <rect class="mark" x=${x - 6} y=${y - 6} width="12" height="12" transform="rotate(45 ${x} ${y})"></rect></g>
    <g class="grip" part="handle handle-crown-turn" data-handle="crown-turn">
      <title>${names['crown-turn']}</title><circle class="area" cx=${turn[0]} cy=${turn[1]} r="22"></circle>
      <path class="arc hand" d=${turningArc(toPixel(view, crownOrigin(plan)), turn)}></path>
      <circle class="mark" cx=${turn[0]} cy=${turn[1]} r="7"></circle></g>`
}

/** What a hand's way makes of the plan when it holds the crown. Facial is above: clockwise takes it to the right. */
export function crownWay(hold: CrownHold, view: View, plan: Plan, start: Pixel, mesialIsRight: boolean): Way {
  if (hold === 'crown') return drawnAlong('crown', view, start)
  const sign = mesialIsRight ? 1 : -1
  return turnedRound(toPixel(view, crownOrigin(plan)), start, (p, deg) => turnCrown(p, sign * deg))
}

function middleOf(points: readonly Pixel[]): Pixel {
  const low = [Math.min(...points.map((p) => p[0])), Math.min(...points.map((p) => p[1]))]
  const high = [Math.max(...points.map((p) => p[0])), Math.max(...points.map((p) => p[1]))]
  return [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2]
}
