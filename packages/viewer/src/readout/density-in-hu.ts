import type { CellDensity, DensityResult, HuInterval } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { tolerance } from '../text/format.js'

/** Body and shell in Hounsfield units with the classes that their intervals cover; null without a calibration. */
export function densityInHu({ bands, core, shell }: DensityResult): TemplateResult | null {
  if (bands === null) return null
  const systems = bands.core.length > 0 ? bands.core : bands.shell
  return html`<h3>Estimated HU, 95\u2009% interval of the line</h3>
    <table class="wrap">
      <thead><tr><th></th><th>body</th><th>0.5 mm shell</th></tr></thead>
      <tbody>
        <tr><td>mean</td><td>${hu(core?.hu)}</td><td>${hu(shell?.hu)}</td></tr>
        <tr class="of"><td>in bone</td><td>${hu(core?.boneHu)}</td><td>${hu(shell?.boneHu)}</td></tr>
        ${kind('cortical', core?.cortical, shell?.cortical)}${kind('cancellous', core?.cancellous, shell?.cancellous)}
        ${systems.map(
          ({ system }, n) =>
            html`<tr><td>${system}</td><td>${bands.core[n]?.text ?? '–'}</td><td>${bands.shell[n]?.text ?? '–'}</td></tr>`,
        )}
      </tbody>
    </table>`
}

/** Where the classes come from. */
export const bandSources = ({ bands }: DensityResult): TemplateResult | null =>
  bands === null
    ? null
    : html`<p>Classes of the means, all drawn on medical CT; they differ by a factor of two between studies, mostly by where was measured:</p>
      <ul>${(bands.core.length > 0 ? bands.core : bands.shell).map(({ source }) => html`<li>${source}</li>`)}</ul>`

const kind = (
  name: string,
  core: CellDensity | null | undefined,
  shell: CellDensity | null | undefined,
): TemplateResult =>
  html`<tr class="of"><td>${name}</td><td>${hu(core?.hu)}</td><td>${hu(shell?.hu)}</td></tr>`

const hu = (interval: HuInterval | null | undefined): string =>
  interval ? tolerance(interval.hu, interval.halfWidthHu, 0) : '–'
