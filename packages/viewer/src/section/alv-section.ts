import {
  type Assessment,
  add,
  along,
  distance,
  dot,
  type MissCloud,
  oralSide,
  type PlacedCrown,
  type Plan,
  scale,
  toothDimensions,
  type Vec3,
} from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query } from 'lit/decorators.js'
import { arrowKeys, arrowStepMm } from '../drawing/arrow-keys.js'
import { Drag, dragged } from '../drawing/drag.js'
import { isGraftHandle } from '../drawing/graft-hand.js'
import { placeGraftKey } from '../drawing/graft-key.js'
import { graftStyle } from '../drawing/graft-style.js'
import { type GreyImage, type GreyWindow, paintGrey } from '../drawing/grey.js'
import { stageStyle } from '../drawing/stage-style.js'
import { imagePlane, ontoPlane, placeAt, sectionAxes, stepMm, type View } from '../drawing/view.js'
import { Viewport } from '../drawing/viewport.js'
import { tell } from '../events.js'
import { cloudMarksStyle } from '../miss-cloud/cloud-marks.js'
import { apexOf, crownOrigin, siteFrame, tiltCrown, tiltFixture } from '../session/index.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import { type Handle, wayOf } from './handles.js'
import { sectionDrawing } from './section-drawing.js'

const stepTiltDeg = 0.5
/** Pixels from above that the scale bar takes. */
const belowScaleBar = 38
/** Room for the lettering beyond the crown's end, pixels, and for the tilt's beyond the apex, mm. */
const noteRoom = 80
const tiltRoomMm = 6

/**
 * The section: the slice through the fixture axis in the facial-palatal plane, with fixture, crown, access channel and
 * the bone margins at the collar drawn over it. Facial is on the left.
 *
 * Keys while it has the focus: arrows move what is focused by 0.1 mm, Shift and arrows tilt by 0.5 degrees
 * (left and right within the section, up and down mesially and distally; the crown where one of its handles has the
 * focus), Page Up and Page Down move the collar, + and - zoom, 0 shows everything, Escape breaks off a drag.
 *
 * @fires alv-plan PlanMove: the hand moved fixture, crown or graft.
 * @fires alv-view ViewChange: another plane is shown.
 * @fires alv-pick DrawnPlace: a place was pointed at while one is asked for.
 * @fires alv-collar-depth the collar should be elsewhere.
 * @csspart stage the picture with its drawing
 * @csspart handle handle-body, handle-platform, handle-apex, handle-crown, handle-crown-tilt, handle-graft-coronal,
 *   handle-graft-apical, handle-graft-thickness
 */
export class AlvSection extends LitElement {
  static override styles = [tokens, panel, drafting, stageStyle, graftStyle, cloudMarksStyle]

  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) assessment: Assessment | null = null
  /** The crown in its own frame and where it stands; see core's placedCrown. Without it edge and length are guessed. */
  @property({ attribute: false }) placed: PlacedCrown | null = null
  /** The crown cut by the section plane, closed lines in LPS mm. */
  @property({ attribute: false }) outline: readonly (readonly Vec3[])[] = []
  /** The assessment belongs to an earlier plan, and no newer one has come for a while: it is drawn faintly. */
  @property({ type: Boolean, reflect: true }) stale = false
  @property({ attribute: false }) image: GreyImage | null = null
  @property({ attribute: false }) window: GreyWindow = { low: -500, high: 2500 }
  /** Depth of the collar below the platform, mm. */
  @property({ type: Number }) collarDepthMm = 0
  /** Where placements may end up; null: none are drawn. */
  @property({ attribute: false }) cloud: MissCloud | null = null
  /** A place in the drawing is asked for: the next click tells it and moves nothing. */
  @property({ type: Boolean, reflect: true }) picking = false

  @query('canvas') private canvas?: HTMLCanvasElement
  readonly #viewport = new Viewport(this, (width, height) =>
    Math.max(this.#home.spanMm / Math.max(60, height - noteRoom), 26 / width),
  )
  #home = { anchor: null as Vec3 | null, spanMm: 36 }
  #drag: Drag | null = null
  #shown = ''

  /** The view as drawn now; null before there is a plan and a size. */
  get view(): View | null {
    const { plan } = this
    const { width, height, mmPerPixel, pan } = this.#viewport
    if (plan === null || width === 0 || height === 0) return null
    const axes = sectionAxes(plan)
    const middle = ontoPlane(
      this.#home.anchor ?? this.#lookAt(plan).anchor,
      plan.fixture.platform,
      axes.normal,
    )
    // A little towards the crown's end, where the exit is lettered.
    const lift = dot(axes.down, plan.site.coronal) > 0 ? noteRoom / 2 : -noteRoom / 2
    const centre = add(
      middle,
      stepMm({ ...axes, mmPerPixel, centre: middle, width, height }, -pan[0], lift - pan[1]),
    )
    return { ...axes, centre, mmPerPixel, width, height }
  }

  /** Shows the whole plan again, in the middle. */
  fit(): void {
    if (this.plan !== null) this.#home = this.#lookAt(this.plan)
    this.#viewport.fit()
  }

  /** The point between the fixture's apex and the far end of the crown, and the height that shows both with room. */
  #lookAt(plan: Plan): { anchor: Vec3; spanMm: number } {
    const { apical } = siteFrame(plan)
    const lengthMm = this.placed?.crown.lengthMm ?? toothDimensions(plan.site.tooth).crownLengthMm
    const tip = along(crownOrigin(plan), apical, -lengthMm)
    const apex = along(apexOf(plan), apical, tiltRoomMm)
    return { anchor: scale(add(tip, apex), 0.5), spanMm: distance(tip, apex) }
  }

  override render(): TemplateResult {
    const { plan, assessment, placed, outline, collarDepthMm, cloud } = this
    const view = this.view
    return html`<div class="stage" part="stage" tabindex="0" role="application" aria-label=${this.#name()}
        @keydown=${this.#key} @click=${this.#pick} @pointerdown=${this.#down} @pointermove=${this.#move} @pointerup=${this.#up}
        @pointercancel=${this.#cancel}>
        <canvas aria-hidden="true"></canvas>
        ${
          plan === null || view === null
            ? nothing
            : sectionDrawing(view, { plan, assessment, placed, outline, collarDepthMm, cloud })
        }
        <div class="zoom">
          <button @click=${() => this.#viewport.zoom(1.25)} aria-label="Closer">+</button>
          <button @click=${() => this.#viewport.zoom(0.8)} aria-label="Further">−</button>
          <button @click=${() => this.fit()}>whole</button>
        </div>
      </div>`
  }

  #name(): string {
    const inner = this.plan === null ? 'palatal' : oralSide(this.plan.site.tooth)
    return `Section through the fixture axis, facial left, ${inner} right. Arrow keys move the fixture, with Shift they tilt it, Page Up and Page Down move the collar.`
  }

  override willUpdate(changed: PropertyValues<this>): void {
    const before = changed.get('plan') as Plan | null | undefined
    // Another scan or site: look at its middle.
    if (
      this.plan !== null &&
      changed.has('plan') &&
      (before?.site !== this.plan.site || this.#home.anchor === null)
    )
      this.#home = this.#lookAt(this.plan)
  }

  override updated(changed: PropertyValues<this>): void {
    if ((changed.has('image') || changed.has('window')) && this.image !== null && this.canvas)
      paintGrey(this.canvas, this.image, this.window)
    placeGraftKey(this.renderRoot, belowScaleBar)
    const view = this.view
    if (view === null) return
    const plane = imagePlane(view)
    const key = JSON.stringify(plane)
    if (key === this.#shown) return
    this.#shown = key
    tell(this, 'alv-view', { name: 'section', plane })
  }

  #key(event: KeyboardEvent): void {
    const { plan } = this
    const view = this.view
    if (plan === null || view === null || event.ctrlKey || event.metaKey || event.altKey) return
    const handle = (event.target as Element).closest<SVGElement>('.grip')?.dataset.handle as
      | Handle
      | undefined
    const next = this.#keyed(event, plan, view, handle ?? 'body')
    if (!next) return
    event.preventDefault()
  }

  #keyed(event: KeyboardEvent, plan: Plan, view: View, handle: Handle): boolean {
    const arrow = arrowKeys[event.key]
    if (arrow !== undefined) {
      const [x, y] = arrow
      const px = arrowStepMm / view.mmPerPixel
      const [facialDeg, mesialDeg] = [-x * stepTiltDeg, -y * stepTiltDeg]
      const onCrown = handle === 'crown' || handle === 'crown-tilt'
      const moved =
        handle === 'crown-tilt' || (event.shiftKey && onCrown)
          ? tiltCrown(plan, facialDeg, mesialDeg)
          : event.shiftKey && !isGraftHandle(handle)
            ? tiltFixture(plan, 'centre', facialDeg, mesialDeg)
            : dragged(plan, handle, stepMm(view, x * px, y * px))
      tell(this, 'alv-plan', { phase: 'step', plan: moved })
      return true
    }
    switch (event.key) {
      case 'PageUp':
      case 'PageDown': {
        const towardsApex = (event.key === 'PageUp') === dot(plan.fixture.apical, view.down) < 0
        tell(this, 'alv-collar-depth', { depthMm: this.collarDepthMm + (towardsApex ? 0.25 : -0.25) })
        return true
      }
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
    grip.focus({ preventScroll: true })
    grip.setPointerCapture(event.pointerId)
    const way = wayOf(grip.dataset.handle as Handle, view, this.plan, this.#viewport.at(event))
    this.#drag = new Drag(this, event.pointerId, this.plan, way)
  }

  #move(event: PointerEvent): void {
    if (event.pointerId === this.#drag?.pointerId) this.#drag.move(this.#viewport.at(event))
  }

  #up(event: PointerEvent): void {
    if (event.pointerId === this.#drag?.pointerId) this.#finish('end')
  }

  #cancel(event: PointerEvent): void {
    if (event.pointerId === this.#drag?.pointerId) this.#finish('cancel')
  }

  #finish(phase: 'end' | 'cancel'): void {
    const drag = this.#drag
    this.#drag = null
    if (this.plan !== null) drag?.end(phase, this.plan)
  }
}
