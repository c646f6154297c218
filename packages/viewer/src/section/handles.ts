import { fixtureProfile, type Plan } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { apexOf, crownOrigin } from '../session/index.js'
import { fixturePath, onFixture } from './fixture-marks.js'

/** What the hand can take hold of in the section. */
export type Handle = 'body' | 'platform' | 'apex' | 'crown'

const names: Readonly<Record<Handle, string>> = {
  body: 'Fixture: drag to move it; arrow keys 0.1 mm, with Shift tilt by 0.5 degrees',
  platform: 'Platform end: drag to turn the fixture about its apex; arrow keys 0.1 mm',
  apex: 'Apex end: drag to turn the fixture about its platform; arrow keys 0.1 mm',
  crown: 'Crown: drag to move it; arrow keys 0.1 mm',
}

/** A target of 44 pixels round a mark of 14. */
const areaRadius = 22

function round(kind: Handle, [x, y]: Pixel, shape: 'circle' | 'diamond'): SVGTemplateResult {
  const mark =
    shape === 'circle'
      ? svg`<circle class="mark" cx=${x} cy=${y} r="7"></circle>`
      : svg`<rect class="mark" x=${x - 6} y=${y - 6} width="12" height="12" transform="rotate(45 ${x} ${y})"></rect>`
  return svg`<g class="grip" part="handle handle-${kind}" data-handle=${kind} tabindex="0" role="button" aria-label=${names[kind]}>
    <title>${names[kind]}</title><circle class="area" cx=${x} cy=${y} r=${areaRadius}></circle>${mark}</g>`
}

export function handles(view: View, plan: Plan): SVGTemplateResult {
  const at = onFixture(view, plan)
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  const middle = at(lengthMm / 2)
  return svg`<g class="grip" part="handle handle-body" data-handle="body" tabindex="0" role="button" aria-label=${names.body}>
      <title>${names.body}</title><path class="area" d=${fixturePath(view, plan)}></path>
      <circle class="area" cx=${middle[0]} cy=${middle[1]} r=${areaRadius}></circle>
      <rect class="mark" x=${middle[0] - 6} y=${middle[1] - 6} width="12" height="12"></rect></g>
    ${round('crown', toPixel(view, crownOrigin(plan)), 'diamond')}
    ${round('apex', toPixel(view, apexOf(plan)), 'circle')}
    ${round('platform', toPixel(view, plan.fixture.platform), 'circle')}`
}
