import { defaultDeficitGraft, type GraftLoss, type GraftSpec, type Plan } from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { formStyle } from '../crown-form/form-style.js'
import { tell } from '../events.js'
import { fieldsStyle } from '../placement/fields-style.js'
import { numberFields } from '../placement/number-fields.js'
import { defaultFreeGraft, defaultLoss, setDeficitGraft, setGraftLoss, withGraft } from '../session/index.js'
import { panel, tokens } from '../sheet/index.js'
import { deficitFields, freeFields, lossField, lossSources } from './graft-fields.js'
import { graftFormStyle } from './graft-form-style.js'

type Kind = GraftSpec['kind'] | 'none'

const kinds: Readonly<Record<Kind, { readonly name: string; readonly help: string }>> = {
  none: { name: 'none', help: 'Nothing is grafted' },
  deficit: {
    name: 'to margin',
    help: 'Bone brought to the wanted margin round the fixture where it is missing',
  },
  free: { name: 'layer', help: 'A layer on the facial bone, which stays where it is when the fixture moves' },
}

/**
 * The planned graft in numbers, to read and to type: none, up to the wanted margins, or a layer of its own.
 *
 * @fires alv-plan PlanMove: something was typed or pressed.
 */
export class AlvGraftForm extends LitElement {
  static override styles = [tokens, panel, fieldsStyle, formStyle, graftFormStyle]

  @property({ attribute: false }) plan: Plan | null = null
  /** On the screen its heading stands elsewhere. */
  @property({ type: Boolean, reflect: true }) tabbed = false
  readonly placed = null

  override render(): TemplateResult {
    const { plan } = this
    if (plan === null) return html`<p class="quiet">no plan yet</p>`
    const graft = plan.graft
    return html`<h2>${heading(graft)}</h2>
      <div class="row kind">
        <span class="tools kinds" role="group" aria-label="Graft">${Object.entries(kinds).map(
          ([key, { name, help }]) =>
            html`<button title=${help} aria-pressed=${key === (graft?.kind ?? 'none')} @click=${() => this.#choose(plan, key as Kind)}>${name}</button>`,
        )}</span>
        ${graft === undefined ? html`<p class="from">nothing is grafted</p>` : this.#switches(graft)}
      </div>
      ${graft === undefined ? nothing : this.#sizes(plan, graft)}`
  }

  #switches(graft: GraftSpec): TemplateResult | typeof nothing {
    return graft.kind === 'free'
      ? nothing
      : html`${this.#switch(graft.overbuilt, 'overbuilt', 'overbuild', 'Built thicker by the expected loss, so that the wanted margin is what remains')}
        ${this.#switch(graft.natural, 'natural', 'natural contour', 'A smooth outside, tapered onto the bone, within the convexity of the neighbouring bone')}`
  }

  #sizes(plan: Plan, graft: GraftSpec): TemplateResult {
    const fields = graft.kind === 'deficit' ? deficitFields : freeFields
    return html`<div class="row">${numberFields(this, [...fields, lossField(plan)])}
      <span class="tools"><select aria-label="Loss counted in" @change=${(e: Event) => this.#countLoss(plan, (e.target as HTMLSelectElement).value as GraftLoss['kind'])}>
        <option value="share" ?selected=${graft.loss.kind === 'share'}>%</option>
        <option value="mm" ?selected=${graft.loss.kind === 'mm'}>mm</option></select></span>
      <details><summary>loss from</summary>${lossSources.map((text) => html`<p>${text}</p>`)}</details></div>`
  }

  #switch(on: boolean, key: 'natural' | 'overbuilt', name: string, help: string): TemplateResult {
    return html`<label class="switch" title=${help}><input type="checkbox" name="graft-${key}" .checked=${on}
      @change=${(e: Event) => this.#turn(key, (e.target as HTMLInputElement).checked)} />${name}</label>`
  }

  #turn(key: 'natural' | 'overbuilt', on: boolean): void {
    if (this.plan !== null) this.#tell(setDeficitGraft(this.plan, { [key]: on }))
  }

  #choose(plan: Plan, kind: Kind): void {
    if (kind === (plan.graft?.kind ?? 'none')) return
    if (kind === 'none') this.#tell(withGraft(plan, null))
    else if (kind === 'free') this.#tell(withGraft(plan, defaultFreeGraft(plan)))
    else this.#tell(withGraft(plan, defaultDeficitGraft(plan.site.tooth, plan.limits)))
  }

  #countLoss(plan: Plan, kind: GraftLoss['kind']): void {
    this.#tell(setGraftLoss(plan, defaultLoss(kind)))
  }

  #tell(plan: Plan): void {
    tell(this, 'alv-plan', { phase: 'step', plan })
  }
}

const heading = (graft: GraftSpec | undefined): string => {
  if (graft === undefined) return 'Graft'
  return graft.kind === 'deficit' ? 'Graft up to the wanted margin' : 'Graft as a layer'
}
