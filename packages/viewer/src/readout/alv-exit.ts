import {
  type AccessChannel,
  type AngledChannel,
  type ExitResult,
  edgeAt,
  invert,
  isPosterior,
  oralSide,
  type PlacedCrown,
  transformPoint,
  type WallSide,
} from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { panel, tokens } from '../sheet/index.js'
import { deg, mm, mm2, plain } from '../text/format.js'
import { exitWords } from '../text/words.js'
import { factsStyle } from './facts-style.js'

/** Angles nearer than this are told as one. */
const sameDeg = 0.05

/**
 * Where the access channel leaves the crown, in words and numbers: its distance from the incisal edge, how it leans, its
 * opening, the crown that is left round it, and the bend that would bring its exit to the wanted place.
 */
export class AlvExit extends LitElement {
  static override styles = [tokens, panel, factsStyle]

  @property({ attribute: false }) exit: ExitResult | null = null
  @property({ attribute: false }) channel: AccessChannel | null = null
  @property({ attribute: false }) angled: AngledChannel | null = null
  /** For the place of the opening relative to the edge. */
  @property({ attribute: false }) placed: PlacedCrown | null = null
  /** The wall wanted round the channel, mm. */
  @property({ attribute: false }) leastWallMm: number | null = null
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
    const from = isPosterior(this.tooth) ? 'central groove' : 'incisal edge'
    return html`<p class="big ${exit.class === 'facial' ? 'below' : ''}">${exitWords[exit.class]}</p>
      <p>${this.#aside(exit.offsetMm)} of the ${from}</p>
      <dl>
        <div><dt>leans</dt><dd>${this.#lean(exit.tiltFacialDeg, 'facial', oralSide(this.tooth))}, ${this.#lean(exit.tiltMesialDeg, 'mesial', 'distal')}</dd></div>
        ${this.#opening()}${this.#wall()}${this.#bend()}
      </dl>`
  }

  #aside = (offsetMm: number): string =>
    `${mm(Math.abs(offsetMm))} ${offsetMm >= 0 ? 'facial' : oralSide(this.tooth)}`

  #lean = (tiltDeg: number, positive: string, negative: string): string =>
    `${deg(Math.abs(tiltDeg))} ${tiltDeg >= 0 ? positive : negative}`

  #opening(): TemplateResult | typeof nothing {
    const { channel, placed } = this
    if (channel === null || channel.areaMm2 === null) return nothing
    const open = channel.closedShare < 1
    const middle = channel.centroid
    return html`<div><dt>opening</dt><dd>${mm2(channel.areaMm2)}${
      middle === null || placed === null ? nothing : html`, middle ${this.#aside(fromEdgeMm(placed, middle))}`
    }${open ? html`<span class="below">; open at a side</span>` : nothing}</dd></div>`
  }

  #wall(): TemplateResult | typeof nothing {
    const wall = this.channel?.wall ?? null
    if (wall === null) return nothing
    const least = this.leastWallMm
    const low = least !== null && wall.mm < least
    return html`<div><dt>least wall</dt><dd><span class=${low ? 'below low' : ''}>${mm(wall.mm)}</span> ${wallWords(wall.region, this.tooth)}${
      wall.mm < 0 ? ', broken through' : nothing
    }${least === null ? nothing : html` <span class="quiet">limit ${plain(least, 2)}</span>`}</dd></div>`
  }

  #bend(): TemplateResult | typeof nothing {
    const { angled } = this
    if (angled === null) return nothing
    const { least, leastWithWall, limitDeg } = angled
    if (least === null)
      return html`<div><dt>angle needed</dt><dd class="below">none up to 60° reaches the wanted exit</dd></div>`
    if (least.correctionDeg === 0 && leastWithWall?.correctionDeg === 0)
      return html`<div><dt>angle needed</dt><dd>none</dd></div>`
    const one = (correctionDeg: number): TemplateResult =>
      html`<span class=${correctionDeg > limitDeg ? 'below low' : ''}>${deg(correctionDeg)}</span>`
    const also =
      leastWithWall === null
        ? html`; none keeps the wall`
        : Math.abs(leastWithWall.correctionDeg - least.correctionDeg) < sameDeg
          ? nothing
          : html`, ${one(leastWithWall.correctionDeg)} with the wall kept`
    return html`<div><dt>angle needed</dt><dd>${least.correctionDeg === 0 ? 'none' : one(least.correctionDeg)}${also} <span class="quiet">limit ${deg(limitDeg, 0)}</span></dd></div>`
  }
}

/** How far facial of the crown's edge a point lies, at the edge's place beside it, mm. */
function fromEdgeMm({ crown, pose }: PlacedCrown, at: readonly [number, number, number]): number {
  const [x, y] = transformPoint(invert(pose), at)
  return x - edgeAt(crown, y)[0]
}

/** Where a wall is the least, in the trade's words. */
function wallWords(region: WallSide, tooth: string): string {
  if (region === 'oral') return oralSide(tooth)
  return region === 'edge' ? (isPosterior(tooth) ? 'on the table' : 'at the edge') : region
}
