import type { TiltChart, TiltChartSpec } from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import type { Pixel } from '../drawing/view.js'
import { type MovePhase, tell } from '../events.js'
import { paintLegend } from '../margin-map/paint.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { cautionLines } from '../text/cautions.js'
import { bestBoxes, bestMarks, bestPlaces, bestWords } from './best-places.js'
import { columnAxis, rowAxis } from './chart-axes.js'
import { specChoices, viewChoice } from './chart-controls.js'
import { ChartDrawn } from './chart-drawn.js'
import { type ChartGrid, type ChartPlace, cellOf, placeAt, placeOf } from './chart-grid.js'
import { draggedTo, isTap, type Press, steppedBy, wentAway } from './chart-hand.js'
import { chartLegend } from './chart-legend.js'
import { cellMarks, centreLines, lineMarks, spotMark } from './chart-marks.js'
import { chartPatterns } from './chart-patterns.js'
import { reading } from './chart-reading.js'
import { pivotNames } from './chart-spec.js'
import { chartStyle } from './chart-style.js'
import { type ChartView, chartViews } from './chart-views.js'
import { placeWords } from './chart-words.js'
import { linesOn } from './contours.js'
import { marksStyle } from './marks-style.js'
import { paintChart } from './paint-chart.js'
import { presentGrip, presentMark, presentPlace } from './present-mark.js'

/** Width of an A4 sheet within its margins, CSS pixels. */
const WIDEST_PRINTED = 690

/**
 * The tilt chart: every tilt of the fixture at once. Colours tell the least bone, outlines where the access channel leaves
 * the crown (strongest where it is wanted, with ticks inwards), lines the bend and the graft that are needed. A ring marks
 * the plan; a tap on a cell, a drag of the ring or the arrow keys (Shift: five cells) move the fixture. Pointing at a cell
 * or resting a finger on it reads it.
 *
 * @fires alv-chart-pose the fixture should stand at this column and row
 * @fires alv-chart-spec another chart is wanted
 * @csspart plot
 */
export class AlvTiltChart extends LitElement {
  static override styles = [tokens, panel, drafting, marksStyle, chartStyle]

  @property({ attribute: false }) chart: TiltChart | null = null
  /** The chart is of an earlier plan. */
  @property({ type: Boolean, reflect: true }) stale = false
  /** A chart is being measured. */
  @property({ type: Boolean, reflect: true }) busy = false
  /** Which number of bone the picture is coloured by. */
  @property() view: ChartView = 'nearest'
  @state() private pointed: ChartPlace | null = null
  /** Where the hand has brought the plan to, until a chart tells it. */
  @state() private held: ChartPlace | null = null
  /** The chart that was asked for, until it is there. */
  @state() private asked: TiltChartSpec | null = null
  @state() private size = { width: 0, height: 0 }
  @query('.plot') private plot?: HTMLElement
  @query('.plot canvas') private canvas?: HTMLCanvasElement
  @query('.ramp canvas') private ramp?: HTMLCanvasElement

  readonly #drawn = new ChartDrawn(this)
  #press: Press | null = null
  #dragging = false
  readonly #observer = new ResizeObserver(() => {
    const { clientWidth: width, clientHeight: height } = this.plot ?? { clientWidth: 0, clientHeight: 0 }
    if (width !== this.size.width || height !== this.size.height) this.size = { width, height }
  })

  override render(): TemplateResult {
    const { chart } = this
    const spec = this.asked ?? chart?.spec ?? null
    return html`<div class="title"><h2>Tilt chart</h2>${this.#note()}${viewChoice(this.view, this.#show)}</div>
      <div class="specs">${specChoices(spec, this.#choose)}</div>
      ${chart === null ? nothing : html`<p class="printed">${chartViews[this.view].name} bone margin; tilts about the ${pivotNames[chart.spec.pivot]}</p>`}
      <div class="drawing">
        <svg class="rows" aria-hidden="true">${chart === null ? nothing : rowAxis(this.#grid(chart), chart.tooth)}</svg>
        <div class="plot" part="plot" tabindex="0" role="application" aria-busy=${this.busy ? 'true' : 'false'}
          aria-label="Tilt chart: facial tilt to the right, rows upwards. Arrow keys move the fixture by one cell, with Shift by five."
          @pointerdown=${this.#down} @pointermove=${this.#move} @pointerup=${this.#up} @pointercancel=${this.#up}
          @pointerleave=${this.#leave} @keydown=${this.#key}>
          <canvas aria-hidden="true"></canvas>
          ${chart === null ? html`<p class="waiting">${this.busy ? 'being measured' : 'not measured yet'}</p>` : this.#picture(chart)}
        </div>
        <svg class="columns" aria-hidden="true">${chart === null ? nothing : columnAxis(this.#grid(chart), chart.tooth)}</svg>
      </div>
      ${chart === null ? nothing : this.#foot(chart)}`
  }

  #grid(chart: TiltChart): ChartGrid {
    return { spec: chart.spec, ...this.size }
  }

  #place(chart: TiltChart): ChartPlace {
    return this.held ?? chart.present
  }

  #note(): TemplateResult | typeof nothing {
    if (this.chart !== null && this.chart.coarseness > 1) return html`<span class="note-coarse">coarse</span>`
    return this.busy ? html`<span class="note-coarse">being measured</span>` : nothing
  }

  #picture(chart: TiltChart): TemplateResult | typeof nothing {
    const grid = this.#grid(chart)
    if (grid.width < 40 || grid.height < 40) return nothing
    const present = presentPlace(grid, chart.tooth, this.#place(chart), (text) =>
      this.#drawn.widthOf(text, 'bend'),
    )
    const best = bestPlaces(chart, this.view)
    const marks = this.#drawn.marks(chart, grid, [...present.boxes, ...bestBoxes(grid, best)], this.#dragging)
    const box = `0 0 ${grid.width} ${grid.height}`
    return html`<svg aria-hidden="true" viewBox=${box} preserveAspectRatio="none">
        ${chartPatterns}
        ${cellMarks(chart, this.view, grid, marks)}${centreLines(grid)}${lineMarks(marks)}${bestMarks(grid, best)}
        ${this.pointed === null ? nothing : spotMark(grid, this.pointed)}
        ${presentMark(present)}${presentGrip(present)}
      </svg>`
  }

  #foot(chart: TiltChart): TemplateResult {
    const view = chartViews[this.view]
    const limitMm = view.limitMm(chart)
    const values = view.valuesMm(chart)
    const on = {
      low: limitMm !== null && values.some((value) => value !== null && value < limitMm),
      none: values.includes(null),
      ...linesOn(chart),
    }
    const place = this.pointed ?? this.#place(chart)
    return html`<div class="foot">
        <p class="told measured" role="status"><span class="where">${this.pointed === null ? 'plan ' : ''}${placeWords(chart, place)}</span>
          ${reading(chart, this.view, place).map(({ text, below }) => html`<span class=${below ? 'below' : ''}>${text}</span>`)}</p>
        ${bestWords(chart, bestPlaces(chart, this.view))}
        <p class="keys">${chartLegend(view, limitMm, on)}</p>
        ${cautionLines(chart.cautions)}
      </div>`
  }

  readonly #show = (view: ChartView): void => {
    this.view = view
  }

  readonly #choose = (spec: TiltChartSpec): void => {
    this.asked = spec
    tell(this, 'alv-chart-spec', spec)
  }

  override connectedCallback(): void {
    super.connectedCallback()
    if (this.plot) this.#observer.observe(this.plot)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.#observer.disconnect()
    this.#press = null
    this.#dragging = false
  }

  override firstUpdated(): void {
    if (this.plot) this.#observer.observe(this.plot)
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const { chart, asked } = this
    if (changed.has('chart')) {
      if (!this.#dragging) this.held = null
      if (chart === null) this.pointed = null
      if (asked !== null && chart?.spec.kind === asked.kind && chart.spec.pivot === asked.pivot)
        this.asked = null
    }
  }

  override updated(): void {
    const { chart } = this
    if (this.ramp && this.ramp.width !== 64) paintLegend(this.ramp)
    if (this.canvas && chart !== null) paintChart(this.canvas, chart, chartViews[this.view])
    const { width, height } = this.size
    if (width === 0 || height === 0) return
    // The plot as it is drawn, border and all, to be printed at that size or smaller.
    const sizes = { width: width + 2, height: height + 2, zoom: Math.min(1, WIDEST_PRINTED / (width + 60)) }
    for (const [name, value] of Object.entries(sizes)) this.style.setProperty(`--plot-${name}`, `${value}`)
  }

  /** Where the pointer is on the picture, pixels. */
  #at(event: MouseEvent): Pixel {
    const box = this.plot?.getBoundingClientRect() ?? new DOMRect()
    const border = this.plot?.clientLeft ?? 0
    return [event.clientX - box.left - border, event.clientY - box.top - border]
  }

  /** The middle of the cell under a pixel. */
  #cellAt(chart: TiltChart, at: Pixel): ChartPlace {
    return placeOf(chart.spec, cellOf(chart.spec, placeAt(this.#grid(chart), at)))
  }

  #tell(phase: MovePhase, place: ChartPlace): void {
    this.held = place
    tell(this, 'alv-chart-pose', { phase, ...place })
  }

  #down(event: PointerEvent): void {
    const { chart, plot } = this
    if (chart === null || event.button !== 0 || this.#press !== null) return
    const at = this.#at(event)
    const held = (event.target as Element).closest('.grip') !== null
    const mark = presentPlace(this.#grid(chart), chart.tooth, this.#place(chart), () => 0).at
    this.#press = {
      pointerId: event.pointerId,
      start: at,
      atMs: event.timeStamp,
      grip: held ? [at[0] - mark[0], at[1] - mark[1]] : null,
      from: this.#place(chart),
    }
    if (held) plot?.setPointerCapture(event.pointerId)
    this.pointed = this.#cellAt(chart, at)
  }

  #move(event: PointerEvent): void {
    const { chart } = this
    const press = this.#press
    if (chart === null) return
    const at = this.#at(event)
    if (press === null || press.grip === null || press.pointerId !== event.pointerId) {
      this.pointed = this.#cellAt(chart, at)
      return
    }
    if (!this.#dragging && !wentAway(press, at)) return
    if (!this.#dragging) {
      this.#dragging = true
      this.#tell('begin', press.from)
    }
    const place = this.#dragPlace(chart, press.grip, at)
    this.pointed = null
    this.#tell('move', place)
  }

  #dragPlace(chart: TiltChart, grip: Pixel, at: Pixel): ChartPlace {
    return draggedTo(chart.spec, placeAt(this.#grid(chart), [at[0] - grip[0], at[1] - grip[1]]))
  }

  #up(event: PointerEvent): void {
    const { chart } = this
    const press = this.#press
    if (chart === null || press === null || press.pointerId !== event.pointerId) return
    const at = this.#at(event)
    this.#press = null
    if (this.#dragging) {
      this.#finish(event.type === 'pointerup' ? 'end' : 'cancel', press)
      return
    }
    if (event.type !== 'pointerup') this.pointed = null
    else if (isTap(press, at, event.timeStamp)) this.#tell('step', this.#cellAt(chart, at))
  }

  #finish(phase: 'end' | 'cancel', press: Press): void {
    this.#dragging = false
    this.#tell(phase, phase === 'end' ? (this.held ?? press.from) : press.from)
  }

  #leave(): void {
    if (!this.#dragging) this.pointed = null
  }

  #key(event: KeyboardEvent): void {
    const { chart } = this
    if (chart === null || event.ctrlKey || event.metaKey || event.altKey) return
    if (event.key === 'Escape' && this.#dragging && this.#press !== null) {
      const press = this.#press
      this.#press = null
      this.#finish('cancel', press)
      return
    }
    const place = steppedBy(chart.spec, this.#place(chart), event)
    if (place === null || this.#dragging) return
    event.preventDefault()
    this.pointed = null
    this.#tell('step', place)
  }
}
