import { dot, type Emergence, isUpper, oralSide, type Plan, subtract } from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { collarAxes } from '../drawing/view.js'
import { panel, tokens } from '../sheet/index.js'
import { deg, mm } from '../text/format.js'
import { emergenceDrawing } from './emergence-drawing.js'
import { emergenceStyle } from './emergence-style.js'
import { factsStyle } from './facts-style.js'

/** What of the emergence is held against a limit. */
export interface EmergenceLimits {
  readonly depthLeastMm: number | null
  readonly depthGreatestMm: number | null
  readonly emergenceDeg: number | null
}

/** How deep the platform lies under the planned margin, how the restoration widens from it, and where it stands facially. */
export class AlvEmergence extends LitElement {
  static override styles = [tokens, panel, factsStyle, emergenceStyle]

  @property({ attribute: false }) emergence: Emergence | null = null
  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) limits: EmergenceLimits | null = null

  override render(): TemplateResult {
    const { emergence, plan } = this
    return html`<h2>Depth and emergence</h2>
      ${emergence === null || plan === null ? html`<p class="quiet">not measured yet</p>` : this.#body(emergence, plan)}`
  }

  #body(emergence: Emergence, plan: Plan): TemplateResult {
    const { depthLeastMm = null, depthGreatestMm = null, emergenceDeg = null } = this.limits ?? {}
    const depth = emergence.belowMarginMm
    const off =
      (depthLeastMm !== null && depth < depthLeastMm) || (depthGreatestMm !== null && depth > depthGreatestMm)
    const oral = emergence.rimOralOfEmergenceMm
    const steep = emergence.profile.reduce((a, b) => (b.emergenceDeg > a.emergenceDeg ? b : a))
    return html`<div class="both">
        <dl>
          <div><dt>below margin</dt><dd><span class=${off ? 'below low' : ''}>${mm(depth, 1)}</span>${
            depthLeastMm === null || depthGreatestMm === null
              ? nothing
              : html` <span class="quiet">limits ${depthLeastMm}–${depthGreatestMm}</span>`
          }</dd></div>
          <div><dt title="Of the neighbouring teeth">below CEJ</dt><dd>${this.#neighbours(emergence)}</dd></div>
          <div><dt>crown height</dt><dd>${mm(emergence.crownHeightMm, 1)}</dd></div>
          <div><dt>facial rim</dt><dd title="The platform's facial rim, from the crown's facial cervical margin">${mm(Math.abs(oral), 1)} ${oral >= 0 ? oralSide(plan.site.tooth) : 'facial'}</dd></div>
          <div><dt>steepest</dt><dd><span class=${emergenceDeg !== null && steep.emergenceDeg > emergenceDeg ? 'below low' : ''}>${deg(steep.emergenceDeg, 0)}</span> ${sideWords(steep.side, plan.site.tooth)}${
            emergenceDeg === null ? nothing : html` <span class="quiet">limit ${deg(emergenceDeg, 0)}</span>`
          }</dd></div>
        </dl>
        ${emergenceDrawing(emergence.profile, { mesialRight: mesialRight(emergence, plan), oral: oralSide(plan.site.tooth), limitDeg: emergenceDeg })}
      </div>`
  }

  #neighbours({ belowMesialCejMm, belowDistalCejMm }: Emergence): string {
    const one = (name: string, value: number | null): string[] =>
      value === null ? [] : [`${name} ${mm(value, 1)}`]
    const told = [...one('mesial', belowMesialCejMm), ...one('distal', belowDistalCejMm)]
    return told.length === 0 ? 'not marked' : told.join(', ')
  }
}

/** "mesiopalatal" for mesio-oral of an upper tooth. */
const sideWords = (side: string, tooth: string): string => {
  const inner = isUpper(tooth) ? 'palatal' : 'lingual'
  return side === 'oral' ? inner : side.replace('-oral', inner)
}

/** Whether mesial is on the right of the collar, as which the drawing lies. */
function mesialRight({ profile }: Emergence, plan: Plan): boolean {
  const at = (side: string) => profile.find((p) => p.side === side)?.rim
  const [mesial, distal] = [at('mesial'), at('distal')]
  return (
    mesial !== undefined && distal !== undefined && dot(subtract(mesial, distal), collarAxes(plan).right) > 0
  )
}
