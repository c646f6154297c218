import type { Assessment, Finding, PlacedCrown, Plan } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import type { GreyPick } from '../grey-calibration/index.js'
import { limitOf } from '../session/index.js'

const noFindings: readonly Finding[] = []

export interface NumbersState {
  /** Of the plan, or of one a moment ago while the hand moves. */
  readonly assessment: Assessment | null
  readonly plan: Plan
  readonly placed: PlacedCrown | null
  /** What goes on with the numbers of the bone. */
  readonly doing: string
  readonly pick: GreyPick | null
  readonly pickable: boolean
  /** True while a grey value is asked for. */
  readonly waiting: boolean
}

/** Everything that was measured, in numbers and words; in groups, one a card on a narrow screen. */
export function numbers(state: NumbersState): TemplateResult {
  const { assessment, plan, placed, doing } = state
  const { tooth } = plan.site
  const emergenceLimits = {
    depthLeastMm: limitOf(plan, 'platformDepthLeastMm'),
    depthGreatestMm: limitOf(plan, 'platformDepthGreatestMm'),
    emergenceDeg: limitOf(plan, 'emergenceDeg'),
  }
  // The graft stands beside the exit: the two are weighed against each other.
  return html`<div class="numbers">
    <div class="group">
      <alv-exit .exit=${assessment?.exit ?? null} .channel=${assessment?.channel ?? null} .angled=${assessment?.angled ?? null}
        .placed=${placed} .leastWallMm=${limitOf(plan, 'leastWallMm')} tooth=${tooth}></alv-exit>
      <alv-graft .plan=${plan} .assessment=${assessment}></alv-graft>
      <alv-retention .retention=${assessment?.retention ?? null}></alv-retention>
    </div><div class="group">
      <alv-margin .margin=${assessment?.margin ?? null} tooth=${tooth} doing=${doing}></alv-margin>
      <alv-emergence .emergence=${assessment?.emergence ?? null} .plan=${plan} .limits=${emergenceLimits}></alv-emergence>
    </div><div class="group">
      <alv-findings .findings=${assessment?.findings ?? noFindings}></alv-findings>
    </div><div class="group">
      <div class="density">
        <alv-density .density=${assessment?.density ?? null}></alv-density>
        <details class="calibrate"><summary>${plan.calibration === undefined ? 'Calibrate grey values' : 'Calibration of grey values'}</summary>
          <alv-grey-calibration .calibration=${plan.calibration} .pick=${state.pick} ?pickable=${state.pickable} ?waiting=${state.waiting}></alv-grey-calibration></details>
      </div>
    </div>
  </div>`
}
