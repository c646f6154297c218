import type { PlacedCrown, Plan } from '@alveometer/core'
import { html, type LitElement, type TemplateResult } from 'lit'
import { tell } from '../events.js'

/** A number of the plan that can be typed. */
export interface NumberField {
  readonly key: string
  readonly name: string
  readonly unit: string
  readonly help: string
  readonly step: number
  /** Null: there is none now. `placed`: the planned crown, null while its mesh is not here. */
  readonly value: (plan: Plan, placed: PlacedCrown | null) => number | null
  readonly change: (plan: Plan, value: number) => Plan
}

/** An element that shows numbers of the plan. */
export interface FieldsHost extends LitElement {
  readonly plan: Plan | null
  readonly placed: PlacedCrown | null
}

/**
 * The fields in a row that breaks where it is narrow. A number that was typed goes out as `alv-plan`; what was typed may
 * have been brought within bounds or be no number, so what holds is shown again.
 */
export function numberFields(host: FieldsHost, fields: readonly NumberField[]): TemplateResult {
  return html`<div class="fields">${fields.map((field) => {
    const value = host.plan === null ? null : field.value(host.plan, host.placed)
    return html`<label title=${field.help}>${field.name}
      <span class="box"><input type="number" name=${field.key} step=${field.step} autocomplete="off" ?disabled=${value === null}
        .value=${shown(value)} @change=${(e: Event) => typed(host, field, e.target as HTMLInputElement)} />${field.unit}</span>
    </label>`
  })}</div>`
}

function typed(host: FieldsHost, field: NumberField, input: HTMLInputElement): void {
  const value = input.valueAsNumber
  if (host.plan === null) return
  if (Number.isFinite(value)) tell(host, 'alv-plan', { phase: 'step', plan: field.change(host.plan, value) })
  void host.updateComplete.then(() => {
    if (host.plan !== null) input.value = shown(field.value(host.plan, host.placed))
  })
}

/** Two digits are shown, all are kept: typing changes only the field typed in. */
function shown(value: number | null): string {
  if (value === null) return ''
  const text = value.toFixed(2)
  return Number(text) === 0 ? '0.00' : text
}
