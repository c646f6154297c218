import {
  type ImagePlane,
  isPosterior,
  limitsFor,
  type PlacedCrown,
  type Plan,
  type WayFound,
  type WayOut,
  type WaysOut,
} from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property, query } from 'lit/decorators.js'
import type { GreyImage, GreyWindow } from '../drawing/grey.js'
import { tell } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { cautionLines } from '../text/cautions.js'
import { plain } from '../text/format.js'
import { PicturedWays } from './pictured.js'
import { type CellsKnown, type Column, columnsOf, wayRows } from './way-cells.js'
import type { WayAccess } from './way-drawing.js'
import { heldBack } from './way-limits.js'
import { standingMark, standingOf } from './way-mark.js'
import { priceOf, sizeWords, wayName, wayNames } from './way-words.js'
import { waysStyle } from './ways-style.js'

/**
 * The ways out of a site side by side: what was planned, and the best placement of each of the four ways with its picture
 * in the section, what it costs, how it stands to its limits and what holds it back; where there is none, by how much it
 * fails. Nothing is recommended. On a narrow screen a glance at all four comes first, and the columns are swiped.
 *
 * @slot what is chosen for the search, beside the title
 * @fires alv-adopt-way the fixture should stand as a way places it
 * @fires alv-adopt-back the plan from before should come back
 * @csspart strip the table with its scroll
 */
export class AlvWaysOut extends LitElement {
  static override styles = [tokens, panel, waysStyle]

  @property({ attribute: false }) result: WaysOut | null = null
  /** For the pictures and for limits that the plan sets. */
  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) placed: PlacedCrown | null = null
  /** Planes of the pictures and the scan in them, by way; `present` the plan's own. Without planes the usual ones. */
  @property({ attribute: false }) planes: Readonly<Record<string, ImagePlane>> = {}
  @property({ attribute: false }) images: Readonly<Record<string, GreyImage | null>> = {}
  @property({ attribute: false }) window: GreyWindow = { low: -500, high: 2500 }
  /** The way that the plan stands in now; null or empty: none. */
  @property() adopted: WayOut | '' | null = null
  /** The result is of an earlier plan. */
  @property({ type: Boolean, reflect: true }) stale = false
  /** Ways are being searched. */
  @property({ type: Boolean, reflect: true }) busy = false
  @query('.strip') private strip?: HTMLElement
  readonly #pictured = new PicturedWays()

  override render(): TemplateResult {
    const { result } = this
    return html`<div class="title"><h2>Ways out</h2><slot></slot>${this.#note()}</div>
      ${
        result === null
          ? html`<p class="quiet" role="status">${this.busy ? 'being searched' : 'not searched yet'}</p>`
          : this.#body(result)
      }`
  }

  #note(): TemplateResult | typeof nothing {
    const { result } = this
    if (result !== null && !result.complete)
      return html`<span class="quiet" role="status">first answer, still searching</span>`
    return this.busy && result !== null
      ? html`<span class="quiet" role="status">being searched anew</span>`
      : nothing
  }

  #body(result: WaysOut): TemplateResult {
    const columns = columnsOf(result)
    const known = this.#known(result)
    const several = result.shapes.length > 1
    return html`${this.#glance(result)}
      <div class="strip measured" part="strip" tabindex="0" role="region" aria-label="Ways out side by side">
      <table>
        <caption>Ways out of tooth ${result.tooth}, columns; numbers of each, rows</caption>
        <thead><tr><td></td>
          <th scope="col" class="present"><span class="way">${this.#presentName(result)}</span></th>
          ${result.ways.map((found) => this.#heading(found))}</tr></thead>
        <tbody>
          <tr class="pictures"><th scope="row">section <span class="second">facial left</span></th>
            ${columns.map((column) => this.#picture(column, result))}</tr>
          <tr class="prices"><th scope="row">costs</th><td><span class="second">as planned</span></td>
            ${result.ways.map((found) => price(found, result.tooth))}</tr>
          <tr class="buttons"><th scope="row"><span class="hidden">take it over</span></th><td></td>
            ${result.ways.map((found) => this.#button(found))}</tr>
          ${wayRows.map(
            ({ name, unit, cell }) =>
              html`<tr><th scope="row">${name} ${
                unit === '' ? nothing : html`<span class="unit">${unit}</span>`
              }</th>${columns.map((column) => cell(column, known))}</tr>`,
          )}
          ${
            several
              ? html`<tr><th scope="row">size <span class="unit">mm</span></th><td>${sizeWords(result.present.shape)}</td>
                  ${result.ways.map(({ shape }) => html`<td>${sizeWords(shape)}</td>`)}</tr>`
              : nothing
          }
          <tr><th scope="row">held back by</th><td>–</td>${result.ways.map((found) => heldBack(found, result.tooth))}</tr>
        </tbody>
      </table></div>
      <dl class="told measured">${result.ways.map(
        (found) =>
          html`<div class=${standingOf(found) === 'none' ? 'missing' : ''}><dt>${wayName(found.way)}</dt><dd>${found.words}</dd></div>`,
      )}</dl>
      ${cautionLines(result.cautions)}
      ${this.#sources(result)}`
  }

  /** What the first column is: the plan as it stands, or one that was searched from and has moved since. */
  #presentName({ present }: WaysOut): string {
    const { plan } = this
    const { platform, apical } = present.pose
    const same =
      plan === null ||
      [0, 1, 2].every((n) => plan.fixture.platform[n] === platform[n] && plan.fixture.apical[n] === apical[n])
    return same ? 'Present plan' : 'Plan before'
  }

  #heading(found: WayFound): TemplateResult {
    const { way } = found
    const [first, second] = wayNames[way]
    return html`<th scope="col" id=${way} class=${way === this.adopted ? 'adopted' : ''}><span class="way">${first}</span>
      <span class="way with">${second}</span> ${standingMark(standingOf(found))}</th>`
  }

  #picture(column: Column, result: WaysOut): TemplateResult {
    const { placed } = this
    const { way, measures } = column
    if (this.plan === null) return html`<td></td>`
    const { plans, planes } = this.#pictured.of(this.plan, result)
    const towardsFacial = isPosterior(result.tooth) && (measures.offsetMm ?? 0) < 0
    const access: WayAccess =
      way === 'angled'
        ? { kind: 'bent', bendDeg: column.bendDeg ?? 0, towardsFacial }
        : { kind: way === 'cemented' || measures.class === null ? 'none' : 'straight' }
    const name = way === 'present' ? 'Section of the plan' : `Section: ${wayName(way)}`
    return html`<td><alv-way-picture .plan=${plans[way] ?? null} .placed=${placed} .plane=${this.planes[way] ?? planes[way] ?? null}
      .image=${this.images[way] ?? null} .window=${this.window} .access=${access} name=${name}></alv-way-picture></td>`
  }

  #button(found: WayFound): TemplateResult {
    const { way, pose, shape } = found
    if (way === this.adopted)
      return html`<td><span class="taken">adopted</span> <button @click=${() => tell(this, 'alv-adopt-back', null)}
        aria-label="Back to the plan before ${wayName(way)}">Back</button></td>`
    if (standingOf(found) === 'none') return html`<td>–</td>`
    return html`<td><button class="adopt" @click=${() => tell(this, 'alv-adopt-way', { way, pose, shape })}
      aria-label="Adopt ${wayName(way)}">Adopt</button></td>`
  }

  /** All four at once, where the columns have no room beside each other. */
  #glance({ ways, tooth }: WaysOut): TemplateResult {
    return html`<ul class="glance measured">${ways.map((found) => {
      const { number, of, missed } = priceOf(found, tooth)
      return html`<li><button @click=${() => this.#showColumn(found.way)}>
        <span class="line"><span class="way">${wayName(found.way)}</span> ${standingMark(standingOf(found))}</span>
        <span><span class="number ${missed ? 'below low' : ''}">${number}</span> <span class="second">${of}</span></span></button></li>`
    })}</ul>`
  }

  #showColumn(way: WayOut): void {
    const heading = this.renderRoot.querySelector<HTMLElement>(`th[id="${way}"]`)
    const first = this.renderRoot.querySelector<HTMLElement>('tbody th')
    if (heading !== null && this.strip)
      this.strip.scrollTo({ left: heading.offsetLeft - (first?.offsetWidth ?? 0) })
  }

  #known({ tooth, uncertaintyMm }: WaysOut): CellsKnown {
    const limits = new Map(limitsFor(tooth).map(({ code, value }) => [code, value]))
    const limit = (code: string): number => this.plan?.limits[code] ?? limits.get(code) ?? 0
    return {
      tooth,
      uncertaintyMm,
      limits: {
        marginMm: limit('marginMm'),
        facialMarginMm: limit('facialMarginMm'),
        correctionDeg: limit('correctionDeg'),
      },
    }
  }

  #sources({ tooth, inHandMm, uncertaintyMm, measured }: WaysOut): TemplateResult {
    const codes = new Set(this.result?.ways.flatMap(({ held }) => held.map(({ code }) => code)))
    const limits = limitsFor(tooth).filter(({ code }) => codes.has(code))
    return html`<details>
      <summary>What is searched, limits and sources</summary>
      <p>Each way is the best placement found within its limits: a straight screw and a cemented crown with the most bone
        to spare, a straight screw with graft with the least graft to the wanted bone, an angled screw with the least bend.
        Bone is held to its limit and ${plain(inHandMm, 2)}\u202fmm more; numbers are ±${plain(uncertaintyMm, 2)}\u202fmm
        (95\u202f%). ${measured.toLocaleString('en')} placements were measured. Bends are drawn within the section.</p>
      <ul>${limits.map(
        ({ code, meaning, value, unit, source }) =>
          html`<li>${meaning}: ${this.plan?.limits[code] ?? value}${unit === 'deg' ? '°' : '\u202fmm'}
            ${this.plan?.limits[code] === undefined ? source : `set in the plan (default ${value}: ${source})`}</li>`,
      )}</ul>
    </details>`
  }
}

function price(found: WayFound, tooth: string): TemplateResult {
  const { number, of, missed } = priceOf(found, tooth)
  return html`<td><span class="number ${missed ? 'below low' : ''}">${number}</span> <span class="second">${of}</span></td>`
}
