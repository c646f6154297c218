import { oralSide, type Plan } from '@alveometer/core'
import { css, html, LitElement, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { tell } from '../events.js'
import {
  diameterOf,
  fixtureLengthMm,
  platformOffsetMm,
  setDiameter,
  setLength,
  setPlatformOffset,
  setTilt,
  tiltOf,
} from '../session/index.js'
import { panel, tokens } from '../sheet/index.js'

interface Field {
  readonly key: string
  readonly name: string
  readonly unit: string
  readonly help: string
  readonly step: number
  readonly value: (plan: Plan) => number
  readonly change: (plan: Plan, value: number) => Plan
}

const offset = (axis: 0 | 1 | 2) => ({
  unit: 'mm',
  step: 0.1,
  value: (plan: Plan): number => platformOffsetMm(plan)[axis],
  change: (plan: Plan, value: number): Plan => {
    const now = platformOffsetMm(plan)
    now[axis] = value
    return setPlatformOffset(plan, now)
  },
})

const fields: readonly Field[] = [
  {
    key: 'tilt-facial',
    name: 'tilt facial',
    unit: '°',
    step: 0.5,
    help: 'Angle between fixture axis and crown axis; positive when the access channel leans facially',
    value: (plan) => tiltOf(plan).facialDeg,
    change: (plan, facialDeg) => setTilt(plan, 'platform', { ...tiltOf(plan), facialDeg }),
  },
  {
    key: 'tilt-mesial',
    name: 'tilt mesial',
    unit: '°',
    step: 0.5,
    help: 'Positive when the access channel leans mesially',
    value: (plan) => tiltOf(plan).mesialDeg,
    change: (plan, mesialDeg) => setTilt(plan, 'platform', { ...tiltOf(plan), mesialDeg }),
  },
  { key: 'facial', name: 'facial', help: 'Platform centre facial of the crown axis', ...offset(0) },
  { key: 'mesial', name: 'mesial', help: 'Platform centre mesial of the crown axis', ...offset(1) },
  {
    key: 'apical',
    name: 'apical',
    help: 'Platform centre apical of the cervical plane of the crown',
    ...offset(2),
  },
  {
    key: 'diameter',
    name: 'diameter',
    unit: 'mm',
    step: 0.1,
    help: 'Fixture diameter at the platform, 1 to 8 mm',
    value: (plan) => diameterOf(plan.fixture.shape),
    change: setDiameter,
  },
  {
    key: 'length',
    name: 'length',
    unit: 'mm',
    step: 0.5,
    help: 'Fixture length, 3 to 25 mm',
    value: fixtureLengthMm,
    change: setLength,
  },
]

/**
 * The plan in numbers, to read and to type: tilt, platform, size. Offsets and tilts are counted in the crown's frame.
 *
 * @fires alv-plan PlanMove: a number was typed.
 */
export class AlvPlacement extends LitElement {
  static override styles = [
    tokens,
    panel,
    css`
      .fields {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(4.3rem, 1fr));
        gap: 0.3rem 0.5rem;
      }
      .signs {
        font-weight: 400;
        white-space: nowrap;
      }
      label {
        display: block;
        white-space: nowrap;
        font-size: var(--small);
        color: var(--ink-2);
      }
      .box {
        display: flex;
        align-items: baseline;
        gap: 0.1rem;
        border-bottom: 1px solid var(--hand);
      }
      input {
        width: 100%;
        min-width: 0;
        min-height: 1.75rem;
        padding: 0;
        border: 0;
        background: none;
        font-size: calc(var(--text) + 0.0625rem);
        color: var(--hand);
        appearance: textfield;
      }
      @media print {
        input,
        .box {
          min-height: 0;
          color: inherit;
          border-color: var(--rule);
        }
      }
      input::-webkit-inner-spin-button {
        display: none;
      }
    `,
  ]

  @property({ attribute: false }) plan: Plan | null = null

  override render(): TemplateResult {
    const { plan } = this
    const inner = plan === null ? 'palatal' : oralSide(plan.site.tooth)
    return html`<h2>Fixture, from crown axis and CEJ <span class="signs">(${inner}, distal, coronal: −)</span></h2>
      <div class="fields">${fields.map(
        (f) => html`<label title=${f.help}>${f.name}
          <span class="box"><input type="number" name=${f.key} step=${f.step} autocomplete="off" ?disabled=${plan === null}
            .value=${plan === null ? '' : shown(f.value(plan))} @change=${(e: Event) => this.#typed(f, e.target as HTMLInputElement)} />${f.unit}</span>
        </label>`,
      )}</div>`
  }

  #typed(field: Field, input: HTMLInputElement): void {
    const value = input.valueAsNumber
    const { plan } = this
    if (plan === null) return
    if (Number.isFinite(value)) tell(this, 'alv-plan', { phase: 'step', plan: field.change(plan, value) })
    // What was typed may have been brought within bounds or be no number: show what holds.
    this.updateComplete.then(() => {
      if (this.plan !== null) input.value = shown(field.value(this.plan))
    })
  }
}

/** Two digits are shown, all are kept: typing changes only the field typed in. */
const shown = (value: number): string => {
  const text = value.toFixed(2)
  return Number(text) === 0 ? '0.00' : text
}
