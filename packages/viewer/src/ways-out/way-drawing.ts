import {
  along,
  dot,
  fixtureFrame,
  fixtureProfile,
  type PlacedCrown,
  type Plan,
  subtract,
  type Vec3,
} from '@alveometer/core'
import { html, nothing, type SVGTemplateResult, svg, type TemplateResult } from 'lit'
import { cased, line, path } from '../drawing/lines.js'
import { toPixel, type View } from '../drawing/view.js'
import { limitOf } from '../drawing/wall-span.js'
import { boreOf, channelMarks, crownMarks } from '../section/crown-marks.js'
import { fixturePath, onFixture } from '../section/fixture-marks.js'
import { bentLine, bentWalls, reachMm } from './bent-line.js'

/** How the crown is held: by a channel along the fixture, by a bent one, or without any. */
export type WayAccess =
  | { readonly kind: 'straight' }
  | { readonly kind: 'bent'; readonly bendDeg: number; readonly towardsFacial: boolean }
  | { readonly kind: 'none' }

export interface WayShown {
  readonly plan: Plan
  readonly placed: PlacedCrown | null
  /** The crown cut by the section plane, closed lines in LPS mm. */
  readonly outline: readonly (readonly Vec3[])[]
  readonly access: WayAccess
}

/** A small section in the line language of the large one, without its numbers: fixture, axis, crown, channel. */
export function wayDrawing(view: View, shown: WayShown, name: string): TemplateResult {
  const { plan, outline, access } = shown
  const bore = access.kind === 'straight' ? straightBore(shown) : null
  return html`<svg role="img" aria-label=${name} viewBox="0 0 ${view.width} ${view.height.toFixed(1)}">
    <defs><pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="hatch" x1="2.5" y1="0" x2="2.5" y2="5"></line></pattern></defs>
    ${crownMarks(view, plan, outline, bore)}
    ${bore === null ? nothing : channelMarks(view, plan, bore, null)}
    ${access.kind === 'bent' ? bentMarks(view, shown, access) : axisMark(view, shown)}
    ${cased(fixturePath(view, plan), 'out')}
  </svg>`
}

function straightBore({ plan, outline }: WayShown) {
  const diameterMm = limitOf(plan, 'channelDiameterMm')
  if (diameterMm === undefined) return null
  return boreOf(plan, { exit: { point: plan.fixture.platform }, channel: { diameterMm } }, outline)
}

/** The centre line, from beyond the apex to beyond the crown. */
function axisMark(view: View, { plan, outline }: WayShown): SVGTemplateResult {
  const at = onFixture(view, plan)
  const { z, origin } = fixtureFrame(plan.fixture, plan.site.facial)
  const top = outline.flat().reduce((least, p) => Math.min(least, dot(subtract(p, origin), z)), 0)
  return line(at(top - 1.6), at(fixtureProfile(plan.fixture.shape).lengthMm + 2), 'centre')
}

/** The centre line up to the bend and from there on, and the bent channel's walls as far as they run in the crown. */
function bentMarks(
  view: View,
  { plan, placed, outline }: WayShown,
  { bendDeg, towardsFacial }: WayAccess & { kind: 'bent' },
): SVGTemplateResult | typeof nothing {
  const bent = placed === null ? null : bentLine(plan, placed, bendDeg, towardsFacial)
  const diameterMm = limitOf(plan, 'channelDiameterMm')
  if (bent === null || diameterMm === undefined) return nothing
  const at = onFixture(view, plan)
  const pixel = (p: Vec3) => toPixel(view, p)
  const reach = reachMm(bent, outline)
  const end = along(bent.pivot, bent.direction, reach)
  const { y } = fixtureFrame(plan.fixture, plan.site.facial)
  const inCrown = outline.map((loop) => path(loop.map(pixel), true)).join('')
  const [px, py] = pixel(bent.pivot)
  return svg`<clipPath id="in-crown"><path clip-rule="evenodd" d=${inCrown}></path></clipPath>
    <g clip-path="url(#in-crown)">${bentWalls(bent, y, diameterMm / 2, reach).map(([a, b]) => line(pixel(a), pixel(b), 'thin'))}</g>
    ${line([px, py], at(fixtureProfile(plan.fixture.shape).lengthMm + 2), 'centre')}${line([px, py], pixel(end), 'centre')}
    ${cased(`M${px - 2.2},${py}a2.2,2.2 0 1 0 4.4,0a2.2,2.2 0 1 0 -4.4,0`, 'thin')}`
}
