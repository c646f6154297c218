import { type MarginResult, oralSide, plusYSide } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, svg, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import { cellAt, type MarginCell, nearestCell } from '../drawing/margin-at.js'
import { tell } from '../events.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { deg, mm, mmTolerance, plain } from '../text/format.js'
import { rayWords } from '../text/words.js'
import { scaleEndMm } from './colour.js'
import { columnOrder, limitAtMm, runsPath } from './map-paths.js'
import { mapStyle } from './map-style.js'
import { paintLegend, paintMap } from './paint.js'

/**
 * The margin map: the radial bone margin unrolled round the fixture, angle across with facial in the middle, depth
 * down. Hatched below the limit, crossed where there is no number. Pointing at a cell or walking there with the arrow
 * keys tells its value; a click or Enter puts the collar at its depth.
 *
 * @fires alv-collar-depth the collar should be at this depth.
 * @csspart plot
 */
export class AlvMarginMap extends LitElement {
  static override styles = [tokens, panel, drafting, mapStyle]

  @property({ attribute: false }) margin: MarginResult | null = null
  /** Tooth number, for the names of the sides. */
  @property() tooth = '11'
  @property({ type: Number }) collarDepthMm = 0
  @state() private pointed: MarginCell | null = null
  @state() private size = { width: 0, height: 0 }
  @query('.plot') private plot?: HTMLElement
  @query('canvas.map') private canvas?: HTMLCanvasElement
  @query('.legend canvas') private legend?: HTMLCanvasElement

  readonly #observer = new ResizeObserver(() => {
    const { clientWidth: width, clientHeight: height } = this.plot ?? { clientWidth: 0, clientHeight: 0 }
    if (width !== this.size.width || height !== this.size.height) this.size = { width, height }
  })

  /** Names of the sides at 0, 90, 180 and 270 degrees. */
  get #sides(): string[] {
    const plusY = plusYSide(this.tooth)
    return ['facial', plusY, oralSide(this.tooth), plusY === 'mesial' ? 'distal' : 'mesial']
  }

  override render(): TemplateResult {
    const { margin } = this
    const [facial, right, inner, left] = this.#sides
    return html`<h2>Bone margin round the fixture, radial</h2>
      <div class="plot" part="plot" tabindex="0" role="application"
        aria-label="Margin map: angle across, facial in the middle; depth down. Arrow keys walk over the cells, Enter puts the collar there."
        @pointermove=${this.#point} @pointerleave=${this.#leave} @click=${this.#choose} @keydown=${this.#key} @blur=${this.#leave}>
        <canvas class="map" aria-hidden="true"></canvas>
        ${margin === null ? nothing : this.#marks(margin)}
      </div>
      <div class="axis" aria-hidden="true">
        <span class="q0">${inner}</span><span class="q1">${left}</span><span class="q2">${facial}</span>
        <span class="q3">${right}</span>${this.size.width < 300 ? nothing : html`<span class="q4">${inner}</span>`}
      </div>
      <div class="foot">
        <div class="legend"><span>0</span><canvas aria-hidden="true"></canvas><span>${scaleEndMm}${'\u2009'}mm</span></div>
        <span role="status">${this.#told()}</span>
      </div>`
  }

  #told(): string {
    const { margin, pointed } = this
    if (margin === null) return 'no margin measured yet'
    if (pointed === null) return 'hatched: below limit; crossed: no number'
    const where = `${mm(pointed.depthMm, 1)} deep, ${deg(pointed.angleDeg, 0)} ${this.#sideOf(pointed.angleDeg)}`
    if (pointed.radialMm === null) return `${where}: no number, ${rayWords[pointed.state]}`
    return `${where}: ${mmTolerance(pointed.radialMm, margin.minimum?.uncertaintyMm ?? 0)}`
  }

  #sideOf(angleDeg: number): string {
    return this.#sides[((Math.round(angleDeg / 90) % 4) + 4) % 4] ?? ''
  }

  #marks(margin: MarginResult): TemplateResult {
    const order = columnOrder(margin.anglesDeg)
    const grid = { rows: margin.depthsMm.length, columns: order.length, ...this.size }
    const sides = this.#sides
    const limits = order.map((column) => limitAtMm(margin, sides, margin.anglesDeg[column] ?? 0))
    const value = (row: number, place: number): number | null =>
      margin.radialMm[row]?.[order[place] ?? 0] ?? null
    const low = runsPath(grid, (row, place) => {
      const mm = value(row, place)
      return mm !== null && mm < (limits[place] ?? 0)
    })
    const none = runsPath(grid, (row, place) => value(row, place) === null)
    const box = `0 0 ${Math.max(1, this.size.width)} ${Math.max(1, this.size.height)}`
    return html`<svg aria-hidden="true" viewBox=${box} preserveAspectRatio="none">
        <defs>
          <pattern id="low" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="lowline" x1="3" y1="0" x2="3" y2="6"></line>
          </pattern>
          <pattern id="none" width="9" height="9" patternUnits="userSpaceOnUse">
            <path class="noneline" d="M0,0L9,9M9,0L0,9"></path>
          </pattern>
        </defs>
        <path class="hatching" fill="url(#low)" d=${low}></path>
        <path class="hatching" fill="url(#none)" d=${none}></path>
      </svg>${this.#overlay(margin, order)}`
  }

  #overlay(margin: MarginResult, order: readonly number[]): TemplateResult {
    const last = margin.depthsMm[margin.depthsMm.length - 1] ?? 1
    const y = (depthMm: number): string =>
      `${((100 * (depthMm / last) * (margin.depthsMm.length - 1)) / margin.depthsMm.length + 50 / margin.depthsMm.length).toFixed(2)}%`
    const x = (column: number): string =>
      `${((100 * (order.indexOf(column) + 0.5)) / order.length).toFixed(2)}%`
    const ticks = Array.from({ length: Math.floor(last / 2) + 1 }, (_, n) => 2 * n)
    const least = margin.minimum
    const at = least === null ? null : nearestCell(margin, least.depthMm, least.angleDeg)
    const nearRight = at !== null && order.indexOf(at.column) > 0.85 * order.length
    const onLevel = least !== null && Math.abs(least.depthMm - this.collarDepthMm) < last / 20
    const textY = least !== null && least.depthMm < last / 12 ? 12 : onLevel ? -9 : 4
    const spot = this.pointed
    return html`<svg aria-hidden="true">
        <line class="level cas" x1="0" x2="100%" y1=${y(this.collarDepthMm)} y2=${y(this.collarDepthMm)}></line>
        <line class="level" x1="0" x2="100%" y1=${y(this.collarDepthMm)} y2=${y(this.collarDepthMm)}></line>
        ${
          at === null || least === null
            ? nothing
            : svg`<circle class="spot cas" cx=${x(at.column)} cy=${y(least.depthMm)} r="6"></circle>
              <circle class="spot" cx=${x(at.column)} cy=${y(least.depthMm)} r="6"></circle>
              <svg class="at" x=${x(at.column)} y=${y(least.depthMm)}><text class="note value" x=${nearRight ? -11 : 11} y=${textY} text-anchor=${nearRight ? 'end' : 'start'}>${plain(least.radialMm, 2)}</text></svg>`
        }
        ${spot === null ? nothing : svg`<circle class="spot cas" cx=${x(spot.column)} cy=${y(spot.depthMm)} r="4"></circle><circle class="spot" cx=${x(spot.column)} cy=${y(spot.depthMm)} r="4"></circle>`}
      </svg>
      <svg class="depths" aria-hidden="true">
        ${ticks.map((d) => svg`<svg class="at" x="100%" y=${y(d)}><line class="tick" x1="-5" x2="0" y1="0" y2="0"></line><text x="-8" y="4" text-anchor="end">${d === 0 ? '0\u2009mm' : d}</text></svg>`)}
      </svg>`
  }

  override connectedCallback(): void {
    super.connectedCallback()
    if (this.plot) this.#observer.observe(this.plot)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.#observer.disconnect()
  }

  override firstUpdated(): void {
    if (this.plot) this.#observer.observe(this.plot)
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const { margin, pointed } = this
    if (changed.has('margin') && pointed !== null)
      this.pointed = margin === null ? null : cellAt(margin, pointed.row, pointed.column)
  }

  override updated(changed: PropertyValues<this>): void {
    if (this.legend && this.legend.width !== 64) paintLegend(this.legend)
    if (!changed.has('margin') || !this.canvas || this.margin === null) return
    paintMap(this.canvas, this.margin, columnOrder(this.margin.anglesDeg))
  }

  #cellUnder(event: MouseEvent): MarginCell | null {
    const { margin } = this
    if (margin === null) return null
    const box = (event.currentTarget as Element).getBoundingClientRect()
    const order = columnOrder(margin.anglesDeg)
    const clamp = (v: number, n: number): number => Math.max(0, Math.min(n - 1, Math.floor(v * n)))
    const place = clamp((event.clientX - box.left) / box.width, order.length)
    const row = clamp((event.clientY - box.top) / box.height, margin.depthsMm.length)
    return cellAt(margin, row, order[place] ?? 0)
  }

  #point(event: PointerEvent): void {
    this.pointed = this.#cellUnder(event)
  }

  #leave(): void {
    this.pointed = null
  }

  #choose(event: MouseEvent): void {
    const cell = this.#cellUnder(event)
    if (cell !== null) tell(this, 'alv-collar-depth', { depthMm: cell.depthMm })
  }

  #key(event: KeyboardEvent): void {
    const { margin } = this
    const step = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key]
    if (margin === null) return
    const from = this.pointed ?? nearestCell(margin, this.collarDepthMm, 0)
    if (step !== undefined) {
      const columns = margin.anglesDeg.length
      const row = Math.max(0, Math.min(margin.depthsMm.length - 1, from.row + (step[0] ?? 0)))
      this.pointed = cellAt(margin, row, (from.column + (step[1] ?? 0) + columns) % columns)
    } else if (event.key === 'Enter' || event.key === ' ') {
      tell(this, 'alv-collar-depth', { depthMm: from.depthMm })
    } else return
    event.preventDefault()
  }
}
