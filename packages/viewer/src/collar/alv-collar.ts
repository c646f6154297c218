import {
  type Assessment,
  add,
  axisPoint,
  dot,
  fixtureFrame,
  type MissCloud,
  oralSide,
  type Plan,
  type Vec3,
} from '@alveometer/core'
import {
  html,
  LitElement,
  nothing,
  type PropertyValues,
  type SVGTemplateResult,
  svg,
  type TemplateResult,
} from 'lit'
import { property, query } from 'lit/decorators.js'
import { arrowKeys, arrowStepMm } from '../drawing/arrow-keys.js'
import { Drag, type DragKind, dragged, drawnAlong } from '../drawing/drag.js'
import { frameWords } from '../drawing/frame-words.js'
import { graftGrips } from '../drawing/graft-hand.js'
import { graftLayers, graftPatterns, layersShown } from '../drawing/graft-hatch.js'
import { graftKey, placeGraftKey } from '../drawing/graft-key.js'
import { graftStyle } from '../drawing/graft-style.js'
import { type GreyImage, type GreyWindow, paintGrey } from '../drawing/grey.js'
import { scaleBar } from '../drawing/scale-bar.js'
import { stageStyle } from '../drawing/stage-style.js'
import { collarAxes, imagePlane, ontoPlane, placeAt, stepMm, toPixel, type View } from '../drawing/view.js'
import { Viewport } from '../drawing/viewport.js'
import { tell } from '../events.js'
import { cloudMarksStyle, missDots } from '../miss-cloud/cloud-marks.js'
import { mesialSign } from '../session/index.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { aboveMarks, placeMarks } from './above-marks.js'
import { circlePath, collarMarks } from './collar-marks.js'
import { crownHolds, crownWay } from './crown-hold.js'
import { collarGraft } from './graft-rings.js'

/** How far a key and a button move the slice, mm. */
const keyStepMm = 0.25
const buttonStepMm = 0.5

/**
 * The collar: the slice across the fixture at one depth, facial above, seen from below as axial slices are. Margins are
 * dimensioned in eight directions (four on a small drawing); the dashed ring is the limit.
 *
 * Above the platform the slice shows the crown instead, which can be dragged and turned there.
 *
 * Keys while it has the focus: arrows move the fixture (or the focused handle of a graft) by 0.1 mm within the slice, Page Up and Page Down move the collar.
 *
 * @fires alv-plan PlanMove: the hand moved fixture or graft, or moved or turned the crown.
 * @fires alv-view ViewChange: another plane is shown.
 * @fires alv-pick DrawnPlace: a place was pointed at while one is asked for.
 * @fires alv-collar-depth the collar should be elsewhere.
 * @csspart stage the picture with its drawing
 * @csspart handle the fixture; handle-crown, handle-crown-turn above the platform
 * @csspart handle handle-graft, handle-graft-mesial, handle-graft-distal: a free graft's
 */
export class AlvCollar extends LitElement {
  static override styles = [tokens, panel, drafting, stageStyle, graftStyle, cloudMarksStyle]

  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) assessment: Assessment | null = null
  /** The assessment belongs to an earlier plan, and no newer one has come for a while: it is drawn faintly. */
  @property({ type: Boolean, reflect: true }) stale = false
  @property({ attribute: false }) image: GreyImage | null = null
  @property({ attribute: false }) window: GreyWindow = { low: -500, high: 2500 }
  /** Depth below the platform, mm. */
  @property({ type: Number }) collarDepthMm = 0
  /** Lines to be shown on the slice, LPS mm: the crown where the slice lies above the platform. */
  @property({ attribute: false }) outline: readonly (readonly Vec3[])[] = []
  /** Places to be shown on the slice, LPS mm. */
  @property({ attribute: false }) places: readonly Vec3[] = []
  /** Where placements may end up; null: none are drawn. */
  @property({ attribute: false }) cloud: MissCloud | null = null
  /** True while a drag goes on: the drawing then stands still. */
  @property({ type: Boolean }) moving = false
  /** A place in the drawing is asked for: the next click tells it and moves nothing. */
  @property({ type: Boolean, reflect: true }) picking = false

  @query('canvas') private canvas?: HTMLCanvasElement
  readonly #viewport = new Viewport(this, (width, height) => 15 / Math.min(width, height))
  #anchor: Vec3 | null = null
  #drag: Drag | null = null
  #shown = ''

  get view(): View | null {
    const { plan } = this
    const { width, height, mmPerPixel, pan } = this.#viewport
    if (plan === null || width === 0 || height === 0) return null
    const axes = collarAxes(plan)
    const middle = axisPoint(fixtureFrame(plan.fixture, plan.site.facial), this.collarDepthMm)
    if (this.#anchor === null || !this.moving) this.#anchor = middle
    const base = ontoPlane(this.#anchor, middle, axes.normal)
    const still = { ...axes, mmPerPixel, centre: base, width, height }
    return { ...still, centre: add(base, stepMm(still, -pan[0], -pan[1])) }
  }

  override render(): TemplateResult {
    const { plan } = this
    const view = this.view
    return html`<div class="stage" part="stage" tabindex="0" role="application"
        aria-label="Slice across the fixture at the collar, facial above. Arrow keys move the fixture, Page Up and Page Down the collar."
        @keydown=${this.#key} @click=${this.#pick} @pointerdown=${this.#down} @pointermove=${this.#move} @pointerup=${this.#up}
        @pointercancel=${this.#up}>
        <canvas aria-hidden="true"></canvas>
        ${plan === null || view === null ? nothing : this.#drawing(plan, view)}
      </div>`
  }

  #drawing(plan: Plan, view: View): TemplateResult {
    const small = Math.min(view.width, view.height) < 260
    const graft = this.assessment?.graft ?? null
    const frame = fixtureFrame(plan.fixture, plan.site.facial)
    const cut = { through: axisPoint(frame, this.collarDepthMm), normal: frame.z, size: 'heightMm' } as const
    const layers = graft === null ? null : collarGraft(view, plan, graft, this.collarDepthMm)
    const mesialRight = mesialIsRight(plan, view)
    const words = {
      top: 'facial',
      bottom: oralSide(plan.site.tooth),
      left: mesialRight ? 'distal' : 'mesial',
      right: mesialRight ? 'mesial' : 'distal',
    }
    return html`<svg viewBox="0 0 ${view.width} ${view.height}">
      <defs>${graftPatterns}</defs>
      ${layers === null ? nothing : svg`<g class="measured">${graftLayers(layers)}</g>`}
      ${
        this.collarDepthMm < 0
          ? aboveMarks(view, this.outline)
          : svg`<g class="measured">${collarMarks(view, plan, this.assessment, this.collarDepthMm, small ? 4 : 8)}</g>`
      }${this.cloud === null ? nothing : missDots(this.cloud, view)}${placeMarks(view, this.places)}${frameWords(view, words)}
      ${scaleBar(view, 12, view.height - 12)}
      ${layers === null ? nothing : graftKey(layersShown(layers), true)}
      ${this.collarDepthMm < 0 ? crownHolds(view, plan, this.outline) : this.#handle(view, plan)}
      ${graftGrips(view, plan, ['graft-mesial', 'graft-distal', 'graft'], cut)}
    </svg>
    <div class="zoom">
      <button @click=${() => this.#level(-buttonStepMm)} aria-label="Slice half a millimetre further coronally" title="further coronally">−</button>
      <button @click=${() => this.#level(buttonStepMm)} aria-label="Slice half a millimetre further apically" title="further apically">+</button>
    </div>`
  }

  #level(byMm: number): void {
    tell(this, 'alv-collar-depth', { depthMm: this.collarDepthMm + byMm })
  }

  #handle(view: View, plan: Plan): SVGTemplateResult {
    const middle = toPixel(view, axisPoint(fixtureFrame(plan.fixture, plan.site.facial), this.collarDepthMm))
    return svg`<g class="grip" part="handle" data-handle="body">
        <path class="area" d=${circlePath(view, plan, this.collarDepthMm)}></path>
        <rect class="mark" x=${middle[0] - 5} y=${middle[1] - 5} width="10" height="10"></rect>
      </g>`
  }

  override updated(changed: PropertyValues<this>): void {
    if ((changed.has('image') || changed.has('window')) && this.image !== null && this.canvas)
      paintGrey(this.canvas, this.image, this.window)
    placeGraftKey(this.renderRoot)
    const view = this.view
    if (view === null) return
    const plane = imagePlane(view)
    const key = JSON.stringify(plane)
    if (key === this.#shown) return
    this.#shown = key
    tell(this, 'alv-view', { name: 'collar', plane })
  }

  #key(event: KeyboardEvent): void {
    const { plan } = this
    const view = this.view
    if (plan === null || view === null || event.ctrlKey || event.metaKey || event.altKey) return
    const arrow = arrowKeys[event.key]
    if (arrow !== undefined && !event.shiftKey) {
      const px = arrowStepMm / view.mmPerPixel
      tell(this, 'alv-plan', {
        phase: 'step',
        plan: dragged(plan, handleOf(event) ?? 'body', stepMm(view, arrow[0] * px, arrow[1] * px)),
      })
    } else if (event.key === 'PageUp' || event.key === 'PageDown') {
      const towardsApex = (event.key === 'PageUp') === plan.fixture.apical[2] > 0
      this.#level(towardsApex ? keyStepMm : -keyStepMm)
    } else if (event.key === 'Escape' && this.#drag !== null) {
      this.#finish('cancel')
    } else return
    event.preventDefault()
  }

  #pick(event: MouseEvent): void {
    const view = this.view
    const onButton = (event.target as Element).closest('button') !== null
    if (this.picking && view !== null && !onButton)
      tell(this, 'alv-pick', placeAt(view, this.#viewport.at(event)))
  }

  #down(event: PointerEvent): void {
    const grip = (event.target as Element).closest<SVGElement>('.grip')
    const view = this.view
    if (grip === null || this.plan === null || view === null || this.picking) return
    if (event.button !== 0 || this.#drag !== null) return
    event.preventDefault()
    const focused = grip.hasAttribute('tabindex')
      ? grip
      : this.renderRoot.querySelector<HTMLElement>('.stage')
    focused?.focus({ preventScroll: true })
    grip.setPointerCapture(event.pointerId)
    const at = this.#viewport.at(event)
    const hold = grip.dataset.handle
    const way =
      hold === 'crown' || hold === 'crown-turn'
        ? crownWay(hold, view, this.plan, at, mesialIsRight(this.plan, view))
        : drawnAlong(handleOf(event) ?? 'body', view, at)
    this.#drag = new Drag(this, event.pointerId, this.plan, way)
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
  }
}

function mesialIsRight(plan: Plan, view: View): boolean {
  const { y } = fixtureFrame(plan.fixture, plan.site.facial)
  return mesialSign(plan.site.tooth) > 0 === dot(y, view.right) > 0
}

/** The handle that an event came to. */
function handleOf(event: Event): DragKind | undefined {
  const grip = (event.target as Element).closest<SVGElement>('.grip')
  return grip?.dataset.handle as DragKind | undefined
}
