import { type CrownMarks, oralSide, type PlacedCrown, type Plan } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'
import type { CrownFormPart } from '../crown-form/index.js'

/** What is typed below the section: the fixture, a part of the crown, or the graft. */
export type FormShown = 'fixture' | CrownFormPart | 'graft'

const names: Readonly<Record<FormShown, string>> = {
  fixture: 'Fixture',
  place: 'Crown',
  form: 'Form',
  channel: 'Channel',
  gap: 'Gap',
  graft: 'Graft',
}
/** Those that are printed too, whichever is shown. */
const printed: readonly CrownFormPart[] = ['place', 'form', 'channel']

export interface FormsState {
  readonly shown: FormShown
  readonly plan: Plan
  readonly placed: PlacedCrown | null
  /** The place of a neighbour that is asked for, by its key. */
  readonly waiting: string
  readonly marking: keyof CrownMarks | null
}

/** Fixture, crown and graft in numbers, one row at a time, chosen by the buttons above it. */
export function forms(state: FormsState, show: (form: FormShown) => void): TemplateResult {
  const { shown, plan } = state
  const form = (
    part: CrownFormPart,
  ): TemplateResult => html`<alv-crown-form tabbed class=${part !== shown ? 'off' : part === 'gap' ? 'screen' : ''} shown=${part}
    .plan=${plan} .placed=${state.placed} waiting=${state.waiting} .marking=${state.marking}></alv-crown-form>`
  return html`<div class="place">
    <div class="tabs">${Object.entries(names).map(
      ([key, name]) =>
        html`<button aria-pressed=${key === shown} @click=${() => show(key as FormShown)}>${name}</button>`,
    )}${counted(shown, plan)}</div>
    <alv-placement tabbed class=${shown === 'fixture' ? '' : 'off'} .plan=${plan}></alv-placement>
    ${printed.map(form)}${shown === 'gap' ? form('gap') : nothing}
    <alv-graft-form tabbed class="${shown === 'graft' ? '' : 'off'} ${plan.graft === undefined ? 'screen' : ''}" .plan=${plan}></alv-graft-form>
  </div>`
}

/** From where the numbers are counted, and which way is negative. */
function counted(shown: FormShown, { site }: Plan): TemplateResult | typeof nothing {
  const inner = oralSide(site.tooth)
  if (shown === 'fixture') return counting('from crown axis and CEJ', `${inner}, distal, coronal: −`)
  return shown === 'place' ? counting('from site and platform', `${inner}, distal, apical: −`) : nothing
}

const counting = (from: string, negative: string): TemplateResult =>
  html`<span class="counted" title=${from}><span class="where">${from} </span>(${negative})</span>`
