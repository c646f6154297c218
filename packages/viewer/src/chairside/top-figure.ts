import {
  type Assessment,
  axisPoint,
  type CrownMarks,
  crownSection,
  fixtureFrame,
  type GraftMeshes,
  type Mesh,
  type PlacedCrown,
  type Plan,
  type Vec3,
} from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import type { GreyImage, GreyWindow } from '../drawing/grey.js'
import { mm } from '../text/format.js'

/** What is drawn beside the section. */
export type TopShown = 'collar' | 'crown' | '3d'

const names: Readonly<Record<TopShown, string>> = { collar: 'Collar', crown: 'Crown', '3d': '3D' }

export interface TopState {
  readonly shown: TopShown
  readonly plan: Plan
  readonly placed: PlacedCrown | null
  readonly assessment: Assessment | null
  readonly stale: boolean
  readonly moving: boolean
  readonly night: boolean
  readonly bone: Mesh | null
  readonly graft: GraftMeshes | null
  readonly collarDepthMm: number
  readonly image: GreyImage | null
  readonly window: GreyWindow
  /** A place in the drawing is asked for. */
  readonly picking: boolean
  readonly marking: keyof CrownMarks | null
}

/** Collar, crown or the 3D view, chosen by the buttons above it. */
export function topFigure(state: TopState, show: (top: TopShown) => void): TemplateResult {
  return html`<figure class="top">
    <figcaption><strong>${titleOf(state)}</strong><span class="tabs">${Object.entries(names).map(
      ([key, name]) =>
        html`<button aria-pressed=${key === state.shown} @click=${() => show(key as TopShown)}>${name}</button>`,
    )}</span></figcaption>
    ${drawing(state)}
  </figure>`
}

function titleOf({ shown, collarDepthMm, marking }: TopState): string {
  if (shown === '3d') return 'Fixture in the bone'
  if (shown === 'crown') return marking === null ? 'Crown' : 'Point at the landmark'
  return collarDepthMm < 0
    ? `${mm(-collarDepthMm, 1)} above the platform`
    : `Collar, ${mm(collarDepthMm)} deep`
}

function drawing(state: TopState): TemplateResult {
  const { plan, placed, assessment, stale } = state
  const exit = assessment?.exit ?? null
  const channel = assessment?.channel ?? null
  const angled = assessment?.angled ?? null
  switch (state.shown) {
    case 'crown':
      return html`<alv-crown-view ?stale=${stale} .placed=${placed} .plan=${plan} .exit=${exit} .channel=${channel} .angled=${angled}
        .marking=${state.marking}></alv-crown-view>`
    case '3d':
      return html`<alv-scene see-through .bone=${state.bone} .graft=${state.graft} .crown=${placed === null ? null : { mesh: placed.crown.mesh, pose: placed.pose }}
        .plan=${plan} .exit=${exit} .channel=${channel} .angled=${angled} sheet=${state.night ? 'night' : 'paper'}></alv-scene>`
    case 'collar':
      return html`<alv-collar ?stale=${stale} ?picking=${state.picking} .plan=${plan} .assessment=${assessment}
        .image=${state.image} .window=${state.window} .collarDepthMm=${state.collarDepthMm} ?moving=${state.moving}
        .outline=${crownOn(state)} .places=${state.collarDepthMm < 0 ? placesOf(plan) : []}></alv-collar>`
  }
}

/** The crown as a slice above the platform cuts it. */
function crownOn({ plan, placed, collarDepthMm }: TopState): readonly (readonly Vec3[])[] {
  if (placed === null || collarDepthMm >= 0) return []
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const plane = { origin: axisPoint(frame, collarDepthMm), normal: frame.z }
  return crownSection(placed.crown, placed.pose, plane).map((line) => line.points)
}

/** What was marked on the neighbouring teeth. */
const placesOf = ({ site }: Plan): readonly Vec3[] =>
  [site.neighbours?.mesial, site.neighbours?.distal].flatMap((marks) =>
    [marks?.contact, marks?.cej].filter((at) => at !== undefined),
  )
