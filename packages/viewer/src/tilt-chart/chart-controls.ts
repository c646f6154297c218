import type { ChartPivot, TiltChartSpec } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { kindNames, pivotNames, withKind } from './chart-spec.js'
import { type ChartView, chartViews } from './chart-views.js'

const group = <K extends string>(
  name: string,
  shown: string,
  names: readonly (readonly [K, string])[],
  now: K | null,
  choose: (key: K) => void,
): TemplateResult =>
  html`<div class="choice"><span class="quiet" aria-hidden="true">${shown}</span>
    <div class="tabs" role="group" aria-label=${name}>${names.map(
      ([key, text]) =>
        html`<button aria-pressed=${key === now} ?disabled=${now === null} @click=${() => choose(key)}>${text}</button>`,
    )}</div></div>`

/** Which number of bone the picture is coloured by. */
export const viewChoice = (now: ChartView, choose: (view: ChartView) => void): TemplateResult =>
  group<ChartView>(
    'Bone margin shown',
    'margin',
    [
      ['nearest', chartViews.nearest.name],
      ['radial', chartViews.radial.name],
      ['reserve', chartViews.reserve.name],
    ],
    now,
    choose,
  )

/** What the rows are, and what stays in its place while the fixture is tilted. */
export const specChoices = (
  spec: TiltChartSpec | null,
  choose: (spec: TiltChartSpec) => void,
): TemplateResult =>
  html`${group<TiltChartSpec['kind']>(
    'Up and down',
    'up and down',
    [
      ['tilt', kindNames.tilt],
      ['depth', kindNames.depth],
      ['shift', kindNames.shift],
    ],
    spec?.kind ?? null,
    (kind) => {
      if (spec !== null && kind !== spec.kind) choose(withKind(spec, kind))
    },
  )}${group<ChartPivot>(
    'Tilts about',
    'tilts about',
    [
      ['platform', pivotNames.platform],
      ['crest', pivotNames.crest],
      ['apex', pivotNames.apex],
    ],
    spec?.pivot ?? null,
    (pivot) => {
      if (spec !== null && pivot !== spec.pivot) choose({ ...spec, pivot })
    },
  )}`
