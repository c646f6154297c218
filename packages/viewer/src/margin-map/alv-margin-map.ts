import { type GraftAssessment, type MarginResult, oralSide, plusYSide } from '@alveometer/core'
import {
  html,
  LitElement,
  nothing,
  type PropertyValues,
  type SVGTemplateResult,
  svg,
  type TemplateResult,
} from 'lit'
import { property, query, state } from 'lit/decorators.js'
import { cellAt, type MarginCell, nearestCell } from '../drawing/margin-at.js'
import { tell } from '../events.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { tolerance } from '../text/format.js'
import { flagMarks, flagsIn } from './flag-marks.js'
import { timeButtons, viewButtons } from './map-buttons.js'
import { type MapMark, mapLegend, patterns } from './map-legend.js'
import { columnOrder, limitAtMm, type MapGrid, runsPath } from './map-paths.js'
import { mapStyle } from './map-style.js'
import {
  leastOf,
  type MapPlace,
  type MapTime,
  type MapView,
  mapTimes,
  mapViews,
  marginAtTime,
} from './map-views.js'
import { paintLegend, paintMap } from './paint.js'
import { reading } from './reading.js'

/**
 * The margin map: the bone margin unrolled round the fixture, angle across with facial in the middle, depth down.
 * It shows the margin along each ray, the shortest distance to the outside of bone, or the plate's thickness; the last
 * two are known when the hand rests. Hatched below the limit, crossed where there is no number, marked where a number is
 * less sure. Pointing at a cell or walking there with the arrow keys tells it; a click or Enter puts the collar at its
 * depth. With a graft it can be of the bone as grafted, or of what is expected to remain.
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
  /** What of the map is shown. */
  @property() view: MapView = 'margin'
  /** The planned graft; with one the margin can be shown with it too. */
  @property({ attribute: false }) graft: GraftAssessment | null = null
  /** Whether the bone as it is, with the graft, or with what is expected to remain of it. */
  @property() shown: MapTime = 'before'
  @state() private pointed: MarginCell | null = null
  @state() private size = { width: 0, height: 0 }
  @query('.plot') private plot?: HTMLElement
  @query('canvas.map') private canvas?: HTMLCanvasElement
  @query('.legend canvas') private legend?: HTMLCanvasElement

  readonly #observer = new ResizeObserver(() => {
    const { clientWidth: width, clientHeight: height } = this.plot ?? { clientWidth: 0, clientHeight: 0 }
    if (width !== this.size.width || height !== this.size.height) this.size = { width, height }
  })

  get #time(): MapTime {
    return this.graft === null ? 'before' : this.shown
  }

  /** The margin at the time that is shown. */
  get #map(): MarginResult | null {
    return this.margin === null ? null : marginAtTime(this.margin, this.graft, this.#time)
  }

  /** With a graft only the margin is known. */
  get #view(): MapView {
    return this.#time === 'before' ? this.view : 'margin'
  }

  /** Names of the sides at 0, 90, 180 and 270 degrees. */
  get #sides(): string[] {
    const plusY = plusYSide(this.tooth)
    return ['facial', plusY, oralSide(this.tooth), plusY === 'mesial' ? 'distal' : 'mesial']
  }

  override render(): TemplateResult {
    const margin = this.#map
    const { endMm, unit, valuesMm } = mapViews[this.#view]
    const [facial, right, inner, left] = this.#sides
    const values = margin === null ? null : valuesMm(margin)
    const waits = margin !== null && values === null
    return html`<div class="title"><h2>Margin map</h2>${viewButtons(this.#view, this.#time, this.size.width < 300, this.#show)}</div>
      ${this.graft === null ? nothing : timeButtons(this.#time, this.#showTime)}
      <div class="plot ${waits ? 'waits' : ''}" part="plot" tabindex="0" role="application"
        aria-label="Margin map: angle across, facial in the middle; depth down. Arrow keys walk over the cells, Enter puts the collar there."
        @pointermove=${this.#point} @pointerleave=${this.#leave} @click=${this.#choose} @keydown=${this.#key} @blur=${this.#leave}>
        <canvas class="map" aria-hidden="true"></canvas>
        ${margin === null || values === null ? nothing : this.#marks(margin)}
        ${margin === null ? nothing : this.#overlay(margin)}
        ${waits ? html`<p class="waiting"><span>measured when the hand rests</span></p>` : nothing}
      </div>
      <div class="axis" aria-hidden="true">
        <span class="q0">${inner}</span><span class="q1">${left}</span><span class="q2">${facial}</span>
        <span class="q3">${right}</span>${this.size.width < 300 ? nothing : html`<span class="q4">${inner}</span>`}
      </div>
      <div class="foot">
        <div class="legend"><span>0</span><canvas aria-hidden="true"></canvas><span>${endMm}\u202f${unit}</span>
          <span class="mode">${margin?.mode ?? ''}</span></div>
        <div class="told">
          <p class="keys" ?hidden=${this.pointed !== null}>${margin === null ? 'no margin measured yet' : mapLegend(this.#marksOn(margin))}</p>
          <p role="status">${margin === null || this.pointed === null ? '' : this.#told(this.pointed)}</p>
        </div>
      </div>`
  }

  readonly #show = (view: MapView): void => {
    this.view = view
  }

  readonly #showTime = (time: MapTime): void => {
    this.shown = time
  }

  #told(cell: MarginCell): string {
    const told = reading(cell, this.#view, this.#sides)
    return this.#time === 'before' ? told : `${mapTimes[this.#time]}: ${told}`
  }

  #grid(margin: MarginResult): MapGrid {
    return { rows: margin.depthsMm.length, columns: margin.anglesDeg.length, ...this.size }
  }

  /** Whether a number of the view shown is below the limit that holds at its angle. */
  #isLow(margin: MarginResult): (valueMm: number | null, column: number) => boolean {
    if (!mapViews[this.#view].limited) return () => false
    const limits = margin.anglesDeg.map((angle) => limitAtMm(margin, this.#sides, angle))
    return (valueMm, column) => valueMm !== null && valueMm < (limits[column] ?? 0)
  }

  /** What lies over the colours, for the legend. */
  #marksOn(margin: MarginResult): MapMark[] {
    const values = mapViews[this.#view].valuesMm(margin) ?? []
    const isLow = this.#isLow(margin)
    const marks: MapMark[] = values.some((row) => row.some(isLow)) ? ['low'] : []
    if (values.some((row) => row.includes(null))) marks.push('none')
    return [...marks, ...flagsIn(margin)]
  }

  #marks(margin: MarginResult): TemplateResult {
    const order = columnOrder(margin.anglesDeg)
    const grid = this.#grid(margin)
    const values = mapViews[this.#view].valuesMm(margin) ?? []
    const value = (row: number, place: number): number | null => values[row]?.[order[place] ?? 0] ?? null
    const isLow = this.#isLow(margin)
    const low = runsPath(grid, (row, place) => isLow(value(row, place), order[place] ?? 0))
    const flagged = (row: number, place: number): boolean =>
      margin.flags[row]?.[order[place] ?? 0]?.includes('tooth') ?? false
    // Where the tooth is the reason its mark alone says so: two lattices over each other cannot be read.
    const none = runsPath(grid, (row, place) => value(row, place) === null && !flagged(row, place))
    const box = `0 0 ${Math.max(1, this.size.width)} ${Math.max(1, this.size.height)}`
    return html`<svg aria-hidden="true" viewBox=${box} preserveAspectRatio="none">
        ${patterns}
        <path class="hatching" fill="url(#low)" d=${low}></path>
        <path class="hatching" fill="url(#none)" d=${none}></path>
        ${flagsIn(margin).map((flag) => flagMarks(margin, flag, grid, order))}
      </svg>`
  }

  /** The place of the least bone. A plate has none: its least number is but the worst of the fits. */
  #least(margin: MarginResult): MapPlace | null {
    const { minimum } = margin
    if (this.#view === 'nearest') return leastOf(margin.nearestMm ?? [])
    if (minimum === null || this.#view === 'plate') return null
    return { ...nearestCell(margin, minimum.depthMm, minimum.angleDeg), valueMm: minimum.radialMm }
  }

  #overlay(margin: MarginResult): TemplateResult {
    const order = columnOrder(margin.anglesDeg)
    const last = margin.depthsMm[margin.depthsMm.length - 1] ?? 1
    const y = (depthMm: number): string =>
      `${((100 * (depthMm / last) * (margin.depthsMm.length - 1)) / margin.depthsMm.length + 50 / margin.depthsMm.length).toFixed(2)}%`
    const x = (column: number): string =>
      `${((100 * (order.indexOf(column) + 0.5)) / order.length).toFixed(2)}%`
    const ticks = Array.from({ length: Math.floor(last / 2) + 1 }, (_, n) => 2 * n)
    const spot = this.pointed
    return html`<svg aria-hidden="true">
        <line class="level cas" x1="0" x2="100%" y1=${y(this.collarDepthMm)} y2=${y(this.collarDepthMm)}></line>
        <line class="level" x1="0" x2="100%" y1=${y(this.collarDepthMm)} y2=${y(this.collarDepthMm)}></line>
        ${this.#leastMark(margin, order, x, y)}
        ${spot === null ? nothing : svg`<circle class="spot cas" cx=${x(spot.column)} cy=${y(spot.depthMm)} r="4"></circle><circle class="spot" cx=${x(spot.column)} cy=${y(spot.depthMm)} r="4"></circle>`}
      </svg>
      <svg class="depths" aria-hidden="true">
        ${ticks.map((d) => svg`<svg class="at" x="100%" y=${y(d)}><line class="tick" x1="-5" x2="0" y1="0" y2="0"></line><text x="-8" y="4" text-anchor="end">${d === 0 ? '0\u202fmm' : d}</text></svg>`)}
      </svg>`
  }

  #leastMark(
    margin: MarginResult,
    order: readonly number[],
    x: (column: number) => string,
    y: (depthMm: number) => string,
  ): SVGTemplateResult | typeof nothing {
    const least = this.#least(margin)
    if (least === null) return nothing
    const last = margin.depthsMm[margin.depthsMm.length - 1] ?? 1
    const depthMm = margin.depthsMm[least.row] ?? 0
    const nearRight = order.indexOf(least.column) > 0.7 * order.length
    const onLevel = Math.abs(depthMm - this.collarDepthMm) < last / 20
    const textY = depthMm < last / 12 ? 12 : onLevel ? -9 : 4
    return svg`<circle class="spot cas" cx=${x(least.column)} cy=${y(depthMm)} r="6"></circle>
      <circle class="spot" cx=${x(least.column)} cy=${y(depthMm)} r="6"></circle>
      <svg class="at" x=${x(least.column)} y=${y(depthMm)}><text class="note value" x=${nearRight ? -11 : 11} y=${textY} text-anchor=${nearRight ? 'end' : 'start'}>${tolerance(least.valueMm, margin.minimum?.uncertaintyMm ?? margin.interval.floorMm)}</text></svg>`
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
    const { pointed } = this
    const margin = this.#map
    if ((changed.has('margin') || changed.has('graft') || changed.has('shown')) && pointed !== null)
      this.pointed = margin === null ? null : cellAt(margin, pointed.row, pointed.column)
  }

  override updated(changed: PropertyValues<this>): void {
    if (this.legend && this.legend.width !== 64) paintLegend(this.legend)
    const margin = this.#map
    const other = changed.has('view') || changed.has('shown')
    if (!(changed.has('margin') || changed.has('graft') || other) || !this.canvas || margin === null) return
    const { valuesMm, endMm } = mapViews[this.#view]
    const values = valuesMm(margin)
    // Without any the picture of the place before stays, faint, until they come.
    if (values !== null) paintMap(this.canvas, values, endMm, columnOrder(margin.anglesDeg))
    else if (other) this.canvas.width = 1
  }

  #cellUnder(event: MouseEvent): MarginCell | null {
    const margin = this.#map
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
    // A finger points at nothing before it touches, and has left when the click comes.
    this.pointed = cell
    if (cell !== null) tell(this, 'alv-collar-depth', { depthMm: cell.depthMm })
  }

  #key(event: KeyboardEvent): void {
    const margin = this.#map
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
