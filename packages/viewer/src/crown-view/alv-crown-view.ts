import {
  type AccessChannel,
  type AngledChannel,
  add,
  along,
  type CrownMarks,
  column,
  type ExitResult,
  intersectLine,
  invert,
  oralSide,
  type PlacedCrown,
  type Plan,
  transformDirection,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import { html, LitElement, nothing, type SVGTemplateResult, svg, type TemplateResult } from 'lit'
import { property, query } from 'lit/decorators.js'
import { arrowKeys, arrowStepMm } from '../drawing/arrow-keys.js'
import { Drag, drawnAlong, turnedRound } from '../drawing/drag.js'
import { frameWords } from '../drawing/frame-words.js'
import { scaleBar } from '../drawing/scale-bar.js'
import { stageStyle } from '../drawing/stage-style.js'
import { fromPixel, stepMm, toPixel, type View, type ViewAxes } from '../drawing/view.js'
import { Viewport } from '../drawing/viewport.js'
import { tell } from '../events.js'
import { moveCrown } from '../session/index.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { type CrownSide, coronalWord, crownAxes, crownExtent, crownMiddle, sideWords } from './crown-axes.js'
import { type CrownDrawing, crownDrawing } from './crown-drawing.js'
import { crownGrips, turnedClockwise, turningCentre } from './crown-hand.js'
import { crownLines } from './crown-lines.js'
import { CrownRelief, type DrawnCrown, paintShade } from './crown-relief.js'
import { crownViewStyle } from './crown-view-style.js'
import { exitLines } from './exit-lines.js'

const stepTurnDeg = 0.5
/** Room for lettering round the crown, pixels. */
const roomAbove = 58
const roomBeside = (width: number): { left: number; right: number } =>
  width < 420 ? { left: 72, right: 46 } : { left: 96, right: 96 }

/** The hatching of an opening. */
const bore = (id: string, kind: string): SVGTemplateResult =>
  svg`<pattern id=${id} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
    <line class="bore ${kind}" x1="3" y1="0" x2="3" y2="6"></line></pattern>`

/**
 * The crown by itself, in relief: seen along its long axis from the coronal end with facial above, or from oral or
 * facial; over it the exit of the access channel with its outline, how far it lies off the edge, where it is wanted,
 * where an angled channel can reach, and the least wall.
 *
 * Keys while it has the focus: arrows move the crown by 0.1 mm, Shift with left and right turns it by 0.5 degrees
 * towards the arrow, + and - zoom, 0 shows everything, Escape breaks off a drag.
 *
 * @fires alv-plan PlanMove: the hand moved or turned the crown.
 * @fires alv-crown-mark a place on the crown was clicked while a landmark is asked for.
 * @csspart stage the picture with its drawing
 * @csspart handle handle-crown, handle-turn
 */
export class AlvCrownView extends LitElement {
  static override styles = [tokens, panel, drafting, stageStyle, crownViewStyle]

  /** The crown in its own frame and where it stands; see core's placedCrown. */
  @property({ attribute: false }) placed: PlacedCrown | null = null
  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) exit: ExitResult | null = null
  @property({ attribute: false }) channel: AccessChannel | null = null
  @property({ attribute: false }) angled: AngledChannel | null = null
  /** Where the crown is seen from. */
  @property({ reflect: true }) side: CrownSide = 'occlusal'
  /** The landmark that the next click on the crown tells; nothing is moved then. */
  @property({ reflect: true }) marking: keyof CrownMarks | null = null
  /** Exit and channel belong to an earlier plan: they are drawn faintly. */
  @property({ type: Boolean, reflect: true }) stale = false
  /** True while a drag goes on elsewhere: the drawing then stands still. */
  @property({ type: Boolean }) moving = false

  @query('canvas') private canvas?: HTMLCanvasElement
  readonly #viewport = new Viewport(this, (width, height) => {
    const [across, down] = this.placed === null ? [10, 10] : crownExtent(this.placed.crown, this.side)
    const { left, right } = roomBeside(width)
    return Math.max(across / Math.max(40, width - left - right), down / Math.max(40, height - 2 * roomAbove))
  })
  readonly #relief = new CrownRelief()
  /** The drawing stands where it stood when a drag began. */
  #held: { readonly axes: ViewAxes; readonly middle: Vec3 } | null = null
  #drag: Drag | null = null
  #painted: DrawnCrown | null = null

  /** The view as drawn now; null before there is a crown and a size. */
  get view(): View | null {
    return this.#seen()?.view ?? null
  }

  /** Shows the whole crown again, in the middle. */
  fit(): void {
    this.#viewport.fit()
  }

  #seen(): { view: View; axes: ViewAxes } | null {
    const { placed } = this
    const { width, height, mmPerPixel, pan } = this.#viewport
    if (placed === null || width === 0 || height === 0) return null
    if (this.#held === null || (this.#drag === null && !this.moving))
      this.#held = { axes: crownAxes(placed.pose, this.side), middle: crownMiddle(placed) }
    const { axes, middle } = this.#held
    const still = { ...axes, mmPerPixel, centre: middle, width, height }
    const { left, right } = roomBeside(width)
    const centre = add(middle, stepMm(still, (right - left) / 2 - pan[0], -pan[1]))
    return { axes, view: { ...still, centre } }
  }

  /** The crown's picture and the drawing it belongs to. */
  #drawn(): { drawing: CrownDrawing; crown: DrawnCrown } | null {
    const seen = this.#seen()
    const { placed } = this
    if (seen === null || placed === null) return null
    const [across, down] = crownExtent(placed.crown, this.side)
    const pixelsPerMm = Math.min(2, devicePixelRatio) / seen.view.mmPerPixel
    const crown = this.#relief.of(placed, seen.axes, pixelsPerMm, across * down)
    return { crown, drawing: crownDrawing(this.side, placed, seen.axes, seen.view, crown.relief) }
  }

  override render(): TemplateResult {
    const drawn = this.#drawn()
    const tooth = this.placed?.crown.tooth ?? '11'
    const choice = (side: CrownSide, word: string): TemplateResult =>
      html`<button aria-pressed=${this.side === side} @click=${() => this.#look(side)}>${word}</button>`
    return html`<div class="tools" role="group" aria-label="Seen from">
        ${choice('occlusal', coronalWord(tooth))}${choice('oral', oralSide(tooth))}${choice('facial', 'facial')}
      </div>
      <div class="stage" part="stage" tabindex="0" role="application" aria-label=${this.#name(tooth)}
        @keydown=${this.#key} @click=${this.#mark} @pointerdown=${this.#down} @pointermove=${this.#move}
        @pointerup=${this.#up} @pointercancel=${this.#up}>
        ${drawn === null ? nothing : this.#below(drawn.crown, drawn.drawing)}
        <canvas aria-hidden="true"></canvas>
        ${drawn === null ? nothing : this.#above(drawn.crown, drawn.drawing)}
      </div>`
  }

  /** From the relief's own pixels to the drawing's. */
  #transform(
    { relief }: DrawnCrown,
    { view, placed }: CrownDrawing,
  ): { x: number; y: number; scale: number } {
    const [x, y] = toPixel(view, column(placed.pose, 3))
    return {
      x: x + relief.leftMm / view.mmPerPixel,
      y: y + relief.topMm / view.mmPerPixel,
      scale: 1 / relief.pixelsPerMm / view.mmPerPixel,
    }
  }

  #below(crown: DrawnCrown, drawing: CrownDrawing): TemplateResult {
    const { x, y, scale } = this.#transform(crown, drawing)
    const { view } = drawing
    return html`<svg aria-hidden="true" viewBox="0 0 ${view.width} ${view.height}">
      <path class="body" d=${crown.outline} transform="translate(${x} ${y}) scale(${scale})"></path></svg>`
  }

  #above(crown: DrawnCrown, drawing: CrownDrawing): TemplateResult {
    const { x, y, scale } = this.#transform(crown, drawing)
    const { view, placed, axes } = drawing
    const { plan, exit, channel, angled } = this
    const transform = `translate(${x} ${y}) scale(${scale})`
    // While a landmark is set the crown alone is looked at.
    const drawn = plan === null || this.marking !== null ? null : plan
    const exitAt = exit?.point == null ? null : drawing.at(exit.point)
    return html`<svg viewBox="0 0 ${view.width} ${view.height}">
      <defs>
        ${bore('bore', '')}${bore('bore-below', 'below')}
      </defs>
      <path class="contour" d=${crown.contours} transform=${transform}></path>
      <path class="rim" d=${crown.outline} transform=${transform}></path>
      ${crownLines(drawing, this.marking)}
      ${drawn === null ? nothing : svg`<g class="measured">${exitLines(drawing, { plan: drawn, exit, channel, angled })}</g>`}
      ${frameWords(view, sideWords(placed.crown, placed.pose, axes), 'feet')}${scaleBar(view, 12, 24)}
      ${crownGrips(drawing, { d: crown.outline, transform }, exitAt)}
    </svg>`
  }

  #name(tooth: string): string {
    const from = { occlusal: coronalWord(tooth), oral: oralSide(tooth), facial: 'facial' }[this.side]
    return `Crown ${tooth} seen from ${from}. Arrow keys move the crown, Shift with left and right turns it.`
  }

  override updated(): void {
    const drawn = this.#drawn()
    if (!this.canvas || drawn === null) return
    const { crown, drawing } = drawn
    if (crown !== this.#painted) paintShade(this.canvas, crown.relief)
    this.#painted = crown
    const { x, y, scale } = this.#transform(crown, drawing)
    const { style } = this.canvas
    style.left = `${x}px`
    style.top = `${y}px`
    style.width = `${crown.relief.width * scale}px`
    style.height = `${crown.relief.height * scale}px`
  }

  #look(side: CrownSide): void {
    this.side = side
    this.#held = null
    this.#viewport.fit()
  }

  #key(event: KeyboardEvent): void {
    const { plan } = this
    const drawn = this.#drawn()
    if (plan === null || drawn === null || event.ctrlKey || event.metaKey || event.altKey) return
    if (this.#keyed(event, plan, drawn.drawing)) event.preventDefault()
  }

  #keyed(event: KeyboardEvent, plan: Plan, drawing: CrownDrawing): boolean {
    const arrow = arrowKeys[event.key]
    if (arrow !== undefined) {
      const onTurn = (event.target as Element).closest('[data-handle=turn]') !== null
      const [x, y] = arrow
      if (event.shiftKey || onTurn) {
        if (x === 0) return false
        // The end that stands above goes towards the arrow; where the edge hangs below, the edge does.
        const hangs = this.side !== 'occlusal' && column(drawing.placed.pose, 2)[2] > 0
        const next = turnedClockwise(drawing, plan, hangs ? -x * stepTurnDeg : x * stepTurnDeg)
        tell(this, 'alv-plan', { phase: 'step', plan: next })
        return true
      }
      const px = arrowStepMm / drawing.view.mmPerPixel
      const moved = moveCrown(plan, stepMm(drawing.view, x * px, y * px))
      tell(this, 'alv-plan', { phase: 'step', plan: moved })
      return true
    }
    switch (event.key) {
      case 'Escape':
        this.#finish('cancel')
        return true
      case '+':
        this.#viewport.zoom(1.25)
        return true
      case '-':
        this.#viewport.zoom(0.8)
        return true
      case '0':
        this.fit()
        return true
    }
    return false
  }

  /** Tells the place on the crown that was clicked; beside the crown nothing. */
  #mark(event: MouseEvent): void {
    const { placed, marking } = this
    const seen = this.#seen()
    if (marking === null || placed === null || seen === null) return
    const toCrown = invert(placed.pose)
    const onSheet = transformPoint(toCrown, fromPixel(seen.view, this.#viewport.at(event)))
    const into = transformDirection(toCrown, seen.axes.normal)
    const [nearest] = intersectLine(placed.crown.mesh, onSheet, into)
    if (nearest === undefined) return
    const at = transformPoint(placed.pose, along(onSheet, into, nearest.distance))
    tell(this, 'alv-crown-mark', { mark: marking, at })
  }

  #down(event: PointerEvent): void {
    const grip = (event.target as Element).closest<SVGElement>('.grip')
    const drawn = this.#drawn()
    const { plan } = this
    if (grip === null || plan === null || drawn === null || this.marking !== null) return
    if (event.button !== 0 || this.#drag !== null) return
    event.preventDefault()
    grip.focus({ preventScroll: true })
    grip.setPointerCapture(event.pointerId)
    const { drawing } = drawn
    const start = this.#viewport.at(event)
    const way =
      grip.dataset.handle === 'turn'
        ? turnedRound(turningCentre(drawing), start, (p, deg) => turnedClockwise(drawing, p, deg))
        : drawnAlong('crown', drawing.view, start)
    this.#drag = new Drag(this, event.pointerId, plan, way)
  }

  #move(event: PointerEvent): void {
    if (event.pointerId === this.#drag?.pointerId) this.#drag.move(this.#viewport.at(event))
  }

  #up(event: PointerEvent): void {
    if (event.pointerId === this.#drag?.pointerId) this.#finish(event.type === 'pointerup' ? 'end' : 'cancel')
  }

  #finish(phase: 'end' | 'cancel'): void {
    const drag = this.#drag
    this.#drag = null
    if (this.plan !== null) drag?.end(phase, this.plan)
    this.requestUpdate()
  }
}
