import { fixtureProfile, isPosterior, type PlacedCrown, type Plan, transformPoint } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { type DragKind, drawnAlong, turnedRound, type Way } from '../drawing/drag.js'
import type { GraftHandle } from '../drawing/graft-hand.js'
import { turningArc } from '../drawing/turning-arc.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { apexOf, crownOrigin, siteFrame, tiltCrown } from '../session/index.js'
import { fixturePath, onFixture } from './fixture-marks.js'

/** What the hand can take hold of in the section. */
export type Handle = DragKind | 'crown-tilt'

const names: Readonly<Record<Exclude<Handle, GraftHandle>, string>> = {
  body: 'Fixture: drag to move it; arrow keys 0.1 mm, with Shift tilt by 0.5 degrees',
  platform: 'Platform end: drag to turn the fixture about its apex; arrow keys 0.1 mm',
  apex: 'Apex end: drag to turn the fixture about its platform; arrow keys 0.1 mm',
  crown: 'Crown: drag to move it; arrow keys 0.1 mm, with Shift tilt by 0.5 degrees',
  'crown-tilt':
    'Edge of the crown: drag to tilt the crown about its cervical centre; left and right arrow keys 0.5 degrees',
}

/** A target of 44 pixels round a mark of 14. */
const areaRadius = 22

function round(
  kind: Exclude<Handle, GraftHandle>,
  [x, y]: Pixel,
  shape: 'circle' | 'diamond',
  more: SVGTemplateResult | typeof nothing = nothing,
): SVGTemplateResult {
  const mark =
    shape === 'circle'
      ? svg`<circle class="mark" cx=${x} cy=${y} r="7"></circle>`
      : svg`<rect class="mark" x=${x - 6} y=${y - 6} width="12" height="12" transform="rotate(45 ${x} ${y})"></rect>`
  return svg`<g class="grip" part="handle handle-${kind}" data-handle=${kind} tabindex="0" role="button" aria-label=${names[kind]}>
    <title>${names[kind]}</title><circle class="area" cx=${x} cy=${y} r=${areaRadius}></circle>${more}${mark}</g>`
}

/** Pixels between the incisal edge and the handle beside it. */
const apartPx = 34

/** Where the crown's tilting handle stands: facial of the edge or of the cusps, clear of the exit and its lettering. */
function tiltHandle(view: View, plan: Plan, { crown, pose }: PlacedCrown): Pixel {
  const { edgeCentre, facialContour } = crown.landmarks
  const facialmost = isPosterior(crown.tooth) ? facialContour[0] : edgeCentre[0]
  const edge = toPixel(view, transformPoint(pose, [facialmost, edgeCentre[1], -crown.lengthMm]))
  const apart = isPosterior(crown.tooth) ? apartPx / 3 : apartPx
  const [ex, ey] = facialOnScreen(view, plan)
  return [edge[0] + ex * apart, edge[1] + ey * apart]
}

function facialOnScreen(view: View, plan: Plan): Pixel {
  const [ox, oy] = toPixel(view, [0, 0, 0])
  const [x, y] = toPixel(view, siteFrame(plan).facial)
  const size = Math.max(1e-9, Math.hypot(x - ox, y - oy))
  return [(x - ox) / size, (y - oy) / size]
}

/** What a hand's way makes of the plan when it holds a handle. */
export function wayOf(handle: Handle, view: View, plan: Plan, start: Pixel): Way {
  if (handle !== 'crown-tilt') return drawnAlong(handle, view, start)
  const pivot = toPixel(view, crownOrigin(plan))
  // Clockwise is facial where superior crowns hang down and facial is on the left, as it is; the other way below.
  const clockwiseIsFacial = plan.site.coronal[2] < 0 ? 1 : -1
  return turnedRound(pivot, start, (p, deg) => tiltCrown(p, clockwiseIsFacial * deg, 0))
}

export function handles(view: View, plan: Plan, placed: PlacedCrown | null): SVGTemplateResult {
  const at = onFixture(view, plan)
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  const middle = at(lengthMm / 2)
  return svg`<g class="grip" part="handle handle-body" data-handle="body" tabindex="0" role="button" aria-label=${names.body}>
      <title>${names.body}</title><path class="area" d=${fixturePath(view, plan)}></path>
      <circle class="area" cx=${middle[0]} cy=${middle[1]} r=${areaRadius}></circle>
      <rect class="mark" x=${middle[0] - 6} y=${middle[1] - 6} width="12" height="12"></rect></g>
    ${round('crown', toPixel(view, crownOrigin(plan)), 'diamond')}
    ${placed === null ? nothing : tilting(view, plan, tiltHandle(view, plan, placed))}
    ${round('apex', toPixel(view, apexOf(plan)), 'circle')}
    ${round('platform', toPixel(view, plan.fixture.platform), 'circle')}`
}

const tilting = (view: View, plan: Plan, at: Pixel): SVGTemplateResult =>
  round(
    'crown-tilt',
    at,
    'circle',
    svg`<path class="arc hand" d=${turningArc(toPixel(view, crownOrigin(plan)), at)}></path>`,
  )
