import { crownSection, type ImagePlane, type PlacedCrown, type Plan, type Vec3 } from '@alveometer/core'
import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, query } from 'lit/decorators.js'
import { type GreyImage, type GreyWindow, paintGrey } from '../drawing/grey.js'
import { sectionAxes } from '../drawing/view.js'
import { drafting, tokens } from '../sheet/index.js'
import { planeView } from './plane-view.js'
import { type WayAccess, wayDrawing } from './way-drawing.js'

/** Pixels that the drawing is made for; it is scaled to the room there is. */
const widthPx = 120

const differs = (a: unknown, b: unknown): boolean => JSON.stringify(a) !== JSON.stringify(b)

/** One way out in the section: the scan along its fixture's axis with fixture, crown and channel over it. Facial left. */
export class AlvWayPicture extends LitElement {
  static override styles = [
    tokens,
    drafting,
    css`
      :host {
        display: block;
        position: relative;
        overflow: hidden;
        background: #606060;
        border: 1px solid var(--frame);
        forced-color-adjust: none;
        print-color-adjust: exact;
        -webkit-print-color-adjust: exact;
      }
      canvas {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
      }
      path.out {
        stroke-width: 1.5;
      }
      path.cas.out {
        stroke-width: 3.4;
      }
      path.centre {
        stroke-dasharray: 9 2.5 2 2.5;
      }
      path.cas.thin,
      path.cas.centre {
        stroke-width: 2.6;
      }
      svg.room {
        display: block;
        position: static;
        width: 100%;
        height: auto;
      }
    `,
  ]

  /** With the fixture of the way. */
  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) placed: PlacedCrown | null = null
  @property({ attribute: false }) plane: ImagePlane | null = null
  @property({ attribute: false }) image: GreyImage | null = null
  @property({ attribute: false }) window: GreyWindow = { low: -500, high: 2500 }
  @property({ attribute: false, hasChanged: differs }) access: WayAccess = { kind: 'none' }
  /** What it shows, in words. */
  @property() name = ''
  @query('canvas') private canvas?: HTMLCanvasElement
  #outline: readonly (readonly Vec3[])[] = []

  override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('plan') && !changed.has('placed')) return
    const { plan, placed } = this
    this.#outline =
      plan === null || placed === null
        ? []
        : crownSection(placed.crown, placed.pose, {
            origin: plan.fixture.platform,
            normal: sectionAxes(plan).normal,
          }).map(({ points }) => points)
  }

  override render(): TemplateResult | typeof nothing {
    const { plan, placed, plane, access } = this
    if (plan === null || plane === null) return nothing
    const view = planeView(plane, widthPx)
    return html`<svg class="room" aria-hidden="true" viewBox="0 0 ${view.width} ${view.height.toFixed(1)}"></svg>
      <canvas aria-hidden="true" ?hidden=${this.image === null}></canvas>
      ${wayDrawing(view, { plan, placed, outline: this.#outline, access }, this.name)}`
  }

  override updated(changed: PropertyValues<this>): void {
    if ((changed.has('image') || changed.has('window')) && this.image !== null && this.canvas)
      paintGrey(this.canvas, this.image, this.window)
  }
}
