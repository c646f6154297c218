import { type ExitResult, isPosterior, oralSide } from '@alveometer/core'
import { html, LitElement, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { deg, mm } from '../text/format.js'
import { exitWords } from '../text/words.js'

/** Where the access channel leaves the crown, in words, with its distance from the incisal edge and the angle that would mend it. */
export class AlvExit extends LitElement {
  static override styles = [tokens, panel]

  @property({ attribute: false }) exit: ExitResult | null = null
  /** ISO 3950. */
  @property() tooth = '11'

  override render(): TemplateResult {
    return html`<h2>Access exit</h2>${this.#body()}`
  }

  #body(): TemplateResult {
    const { exit } = this
    if (exit === null) return html`<p class="quiet">not measured yet</p>`
    if (exit.class === null || exit.offsetMm === null)
      return html`<p class="big">does not meet the crown</p><p class="quiet">Move the crown or the fixture.</p>`
    const side = exit.offsetMm >= 0 ? 'facial' : oralSide(this.tooth)
    const from = isPosterior(this.tooth) ? 'central groove' : 'incisal edge'
    const facial = exit.class === 'facial'
    return html`<p class="big ${facial ? 'below' : ''}">${exitWords[exit.class]}</p>
      <p>${mm(Math.abs(exit.offsetMm))} ${side} of the ${from}</p>
      <p>${exit.correctionDeg === null ? 'no straight line to the wanted exit' : exit.correctionDeg === 0 ? 'no angled channel needed' : html`${deg(exit.correctionDeg)} of channel angle to the wanted exit`}</p>`
  }
}
