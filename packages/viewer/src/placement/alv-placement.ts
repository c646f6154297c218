import { oralSide, type Plan } from '@alveometer/core'
import { css, html, LitElement, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
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
import { fieldsStyle } from './fields-style.js'
import { type NumberField, numberFields } from './number-fields.js'

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

const fields: readonly NumberField[] = [
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
 * The fixture in numbers, to read and to type: tilt, platform, size. Offsets and tilts are counted in the crown's frame.
 *
 * @fires alv-plan PlanMove: a number was typed.
 */
export class AlvPlacement extends LitElement {
  static override styles = [
    tokens,
    panel,
    fieldsStyle,
    css`
      @media screen {
        :host([tabbed]) h2 {
          display: none;
        }
      }
    `,
  ]

  @property({ attribute: false }) plan: Plan | null = null
  /** On the screen its heading stands elsewhere. */
  @property({ type: Boolean, reflect: true }) tabbed = false
  readonly placed = null

  override render(): TemplateResult {
    const { plan } = this
    const inner = plan === null ? 'palatal' : oralSide(plan.site.tooth)
    return html`<h2>Fixture, from crown axis and CEJ <span class="signs">(${inner}, distal, coronal: −)</span></h2>
      ${numberFields(this, fields)}`
  }
}
