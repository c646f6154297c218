import {
  type Assessment,
  dot,
  fixtureFrame,
  fixtureProfile,
  type MissCloud,
  oralSide,
  type PlacedCrown,
  type Plan,
  subtract,
  type Vec3,
} from '@alveometer/core'
import { html, nothing, svg, type TemplateResult } from 'lit'
import { frameWords } from '../drawing/frame-words.js'
import { graftGrips } from '../drawing/graft-hand.js'
import { graftLayers, graftPatterns, layersShown } from '../drawing/graft-hatch.js'
import { graftKey } from '../drawing/graft-key.js'
import { scaleBar } from '../drawing/scale-bar.js'
import type { View } from '../drawing/view.js'
import { missAxes } from '../miss-cloud/cloud-marks.js'
import { accessMarks } from './access-marks.js'
import { boreOf, channelMarks, crownMarks } from './crown-marks.js'
import { depthMarks, fixtureMarks, marginMarks, tiltMarks } from './fixture-marks.js'
import { graftMarks, graftOutside, sectionGraft } from './graft-marks.js'
import { handles } from './handles.js'

/** Narrower drawings have less room for lettering, pixels. */
const roomyPx = 480

export interface SectionShown {
  readonly plan: Plan
  readonly assessment: Assessment | null
  readonly placed: PlacedCrown | null
  /** The crown cut by the section plane, closed lines in LPS mm. */
  readonly outline: readonly (readonly Vec3[])[]
  readonly collarDepthMm: number
  readonly cloud?: MissCloud | null
}

/** Everything that is drawn over the picture of the section. */
export function sectionDrawing(view: View, shown: SectionShown): TemplateResult {
  const { plan, assessment, placed, outline, collarDepthMm, cloud } = shown
  const bore = assessment === null ? null : boreOf(plan, assessment, outline)
  const profile = fixtureProfile(plan.fixture.shape)
  const narrow = view.width < roomyPx
  const graft = assessment?.graft ?? null
  const layers = graft === null ? null : sectionGraft(view, graft)
  const cut = {
    through: plan.fixture.platform,
    normal: fixtureFrame(plan.fixture, plan.site.facial).y,
    size: 'widthMm',
  } as const
  return html`<svg aria-hidden="false" viewBox="0 0 ${view.width} ${view.height}">
    <defs>
      <pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="hatch" x1="3.5" y1="0" x2="3.5" y2="7"></line>
      </pattern>
      ${graftPatterns}
    </defs>
    ${crownMarks(view, plan, outline, bore)}
    ${layers === null ? nothing : svg`<g class="measured">${graftLayers(layers)}</g>`}
    ${bore === null ? nothing : channelMarks(view, plan, bore, assessment?.channel.outline ?? null)}
    ${cloud ? missAxes(cloud, view, { apicalMm: profile.lengthMm, coronalMm: axisReachMm(shown) }) : nothing}
    ${fixtureMarks(view, plan, axisReachMm(shown))}
    ${tiltMarks(view, plan)}${depthMarks(view, plan, profile.greatestRadiusMm)}
    <g class="measured">${marginMarks(view, plan, assessment, collarDepthMm, narrow ? 84 : 100)}
    ${assessment === null || graft === null ? nothing : graftMarks(view, plan, assessment, graft, collarDepthMm)}
    ${assessment === null ? nothing : accessMarks(view, plan, placed, assessment, outline)}</g>
    ${frameWords(view, { left: 'facial', right: oralSide(plan.site.tooth) }, 'corners')}
    ${scaleBar(view, 14, 26)}${layers === null ? nothing : graftKey(layersShown(layers), narrow)}
    ${handles(view, plan, placed)}
    ${graftGrips(view, plan, ['graft-coronal', 'graft-apical', 'graft-thickness'], cut, graftOutside(plan, graft))}
  </svg>`
}

/** The centre line ends a little past the exit, clear of the lettering beyond the crown. */
function axisReachMm(shown: SectionShown): number {
  const exit = shown.assessment?.exit.point ?? null
  return exit === null ? 4 - crownTopMm(shown) : 1.6 - depthOf(shown.plan, exit)
}

/** Depth (negative: coronal of the platform) of the crown's far end along the fixture axis, mm. */
function crownTopMm({ plan, outline }: SectionShown): number {
  const depths = outline.flat().map((p) => depthOf(plan, p))
  return depths.length > 0 ? Math.min(...depths) : -12
}

const depthOf = ({ fixture }: Plan, point: Vec3): number =>
  dot(subtract(point, fixture.platform), fixture.apical)
