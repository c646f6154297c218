import {
  css,
  html,
  LitElement,
  nothing,
  type PropertyValues,
  type SVGTemplateResult,
  svg,
  type TemplateResult,
} from 'lit'
import { property, query, state } from 'lit/decorators.js'
import { arrowKeys } from '../drawing/arrow-keys.js'
import { type GreyImage, type GreyWindow, paintGrey } from '../drawing/grey.js'
import { dimension } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { drafting, panel, tokens } from '../sheet/index.js'
import type { Side } from '../text/sides.js'
import { type LengthLine, type LineEnd, lineEnds, type Place, withEnd } from './line.js'

/** Which side of the patient each edge of a picture is; those not known yet are null. */
export type EdgeSides = Readonly<Record<'left' | 'right' | 'top' | 'bottom', Side | null>>

const nowhere: EdgeSides = { left: null, right: null, top: null, bottom: null }

/**
 * A picture of voxels without millimetres, to lay a line over something of known length. The ends are set by pointer
 * or by arrow keys, finer the closer one looks; the background is drawn along once the picture is larger than its frame.
 *
 * @fires alv-line the line is elsewhere; detail LengthLine.
 */
export class AlvCheckPicture extends LitElement {
  static override styles = [
    tokens,
    panel,
    drafting,
    css`
      :host {
        display: block;
        min-width: 0;
        min-height: 0;
      }
      .stage {
        position: relative;
        width: 100%;
        height: 100%;
        overflow: hidden;
        background: #606060;
        border: 1px solid var(--frame);
        user-select: none;
        -webkit-user-select: none;
      }
      .stage.closer {
        touch-action: none;
        cursor: move;
      }
      canvas {
        position: absolute;
      }
      .zoom {
        position: absolute;
        right: 6px;
        bottom: 6px;
        display: flex;
        gap: 4px;
      }
      .zoom button {
        min-width: 2rem;
        min-height: 2rem;
        padding: 0;
      }
    `,
  ]

  @property({ attribute: false }) image: GreyImage | null = null
  @property({ attribute: false }) window: GreyWindow = { low: 0, high: 255 }
  /** Height of a pixel against its width. */
  @property({ type: Number }) aspect = 1
  @property({ attribute: false }) edges: EdgeSides = nowhere
  @property({ attribute: false }) line: LengthLine | null = null
  /** Whether the line has to stand upright. */
  @property({ type: Boolean }) upright = false
  /** Lettering on the line. */
  @property() lettering = ''
  @property() caption = ''
  @state() private zoom = 1
  @state() private size: Pixel = [0, 0]
  @query('canvas') private canvas?: HTMLCanvasElement
  @query('.stage') private stage?: HTMLElement
  readonly #observer = new ResizeObserver(() => this.#measure())
  /** The place in the middle of the frame, pixels of the picture. */
  #centre: Place | null = null
  #drag: { readonly id: number; readonly end: LineEnd | null; last: Pixel } | null = null

  override firstUpdated(): void {
    if (this.stage) this.#observer.observe(this.stage)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.#observer.disconnect()
  }

  override connectedCallback(): void {
    super.connectedCallback()
    if (this.stage) this.#observer.observe(this.stage)
  }

  override render(): TemplateResult {
    const { image, line } = this
    return html`<div class="stage ${this.zoom > 1 ? 'closer' : ''}" @pointerdown=${this.#down} @pointermove=${this.#move}
        @pointerup=${this.#up} @pointercancel=${this.#up}>
      <canvas role="img" aria-label=${this.caption}></canvas>
      ${
        image === null || this.size[0] === 0
          ? nothing
          : html`<svg aria-hidden=${line === null} viewBox="0 0 ${this.size[0]} ${this.size[1]}">${this.#sides()}${line === null ? nothing : this.#line(line)}</svg>`
      }
      ${
        line === null
          ? nothing
          : html`<div class="zoom"><button ?disabled=${this.zoom >= 8} @click=${() => this.#look(2 * this.zoom)} aria-label="Closer">+</button>
              <button ?disabled=${this.zoom <= 1} @click=${() => this.#look(this.zoom / 2)} aria-label="Further">−</button></div>`
      }
    </div>`
  }

  override updated(changed: PropertyValues<this>): void {
    const { canvas, image } = this
    if (!canvas || image === null) return
    if (changed.has('image') || changed.has('window')) paintGrey(canvas, image, this.window)
    const [left, top] = this.#onStage([-0.5, -0.5])
    const [right, bottom] = this.#onStage([image.width - 0.5, image.height - 0.5])
    Object.assign(canvas.style, {
      left: `${left}px`,
      top: `${top}px`,
      width: `${right - left}px`,
      height: `${bottom - top}px`,
    })
  }

  #sides(): SVGTemplateResult {
    const { left, right, top, bottom } = this.edges
    const [width, height] = this.size
    const word = (side: Side | null, x: number, y: number, anchor: string) =>
      side === null
        ? nothing
        : svg`<text class="note side" x=${x} y=${y} text-anchor=${anchor}>${side}</text>`
    return svg`${word(left, 8, height / 2 + 4, 'start')}${word(right, width - 8, height / 2 + 4, 'end')}
      ${word(top, width / 2, 18, 'middle')}${word(bottom, width / 2, height - 9, 'middle')}`
  }

  #line(line: LengthLine): SVGTemplateResult {
    const [a, b] = [this.#onStage(line.from), this.#onStage(line.to)]
    const grip = (end: LineEnd, [x, y]: Pixel) => {
      const name = `${end === 'from' ? 'First' : 'Second'} end of the line: drag it, or move it with the arrow keys; with Shift ten times as far`
      return svg`<g class="grip" data-end=${end} tabindex="0" role="button" aria-label=${name} @keydown=${(e: KeyboardEvent) => this.#key(e, end)}>
        <title>${name}</title><circle class="area" cx=${x} cy=${y} r="22"></circle>
        <circle class="mark" cx=${x} cy=${y} r="8"></circle><path class="thin" d="M${x - 3},${y}h6M${x},${y - 3}v6"></path></g>`
    }
    return svg`${dimension(a, b, this.lettering)}${grip('from', a)}${grip('to', b)}`
  }

  get #scale(): number {
    const { image, aspect, size, zoom } = this
    if (image === null) return 1
    return zoom * Math.min(size[0] / image.width, size[1] / (image.height * aspect))
  }

  get #middle(): Place {
    const { width, height } = this.image ?? { width: 1, height: 1 }
    return this.zoom > 1 && this.#centre !== null ? this.#centre : [(width - 1) / 2, (height - 1) / 2]
  }

  #onStage([u, v]: Place): Pixel {
    const [cu, cv] = this.#middle
    return [
      this.size[0] / 2 + (u - cu) * this.#scale,
      this.size[1] / 2 + (v - cv) * this.#scale * this.aspect,
    ]
  }

  #step(dx: number, dy: number): Place {
    return [dx / this.#scale, dy / (this.#scale * this.aspect)]
  }

  /** Closer to, or further from, the middle of the line. */
  #look(zoom: number): void {
    const { line } = this
    if (line !== null && zoom > this.zoom)
      this.#centre = [(line.from[0] + line.to[0]) / 2, (line.from[1] + line.to[1]) / 2]
    this.zoom = zoom
  }

  #measure(): void {
    const { clientWidth = 0, clientHeight = 0 } = this.stage ?? {}
    if (clientWidth !== this.size[0] || clientHeight !== this.size[1]) this.size = [clientWidth, clientHeight]
  }

  #moveEnd(end: LineEnd, [du, dv]: Place): void {
    const { line, image, upright } = this
    if (line === null || image === null) return
    const [u, v] = line[end]
    const { width, height } = image
    this.line = withEnd(line, end, [u + du, v + dv], { width, height, upright })
    this.dispatchEvent(new CustomEvent('alv-line', { detail: this.line }))
  }

  #key(event: KeyboardEvent, end: LineEnd): void {
    const arrow = arrowKeys[event.key]
    if (arrow === undefined) return
    event.preventDefault()
    const far = (event.shiftKey ? 10 : 1) / this.zoom
    this.#moveEnd(end, [arrow[0] * far, arrow[1] * far])
  }

  #down(event: PointerEvent): void {
    const grip = (event.target as Element).closest<SVGElement>('.grip')
    const end = lineEnds.find((e) => e === grip?.dataset.end) ?? null
    if (event.button !== 0 || this.#drag !== null || (end === null && this.zoom === 1)) return
    if ((event.target as Element).closest('button') !== null) return
    event.preventDefault()
    grip?.focus({ preventScroll: true })
    ;(event.currentTarget as Element).setPointerCapture(event.pointerId)
    this.#drag = { id: event.pointerId, end, last: [event.clientX, event.clientY] }
  }

  #move(event: PointerEvent): void {
    const drag = this.#drag
    if (drag?.id !== event.pointerId) return
    const [du, dv] = this.#step(event.clientX - drag.last[0], event.clientY - drag.last[1])
    drag.last = [event.clientX, event.clientY]
    if (drag.end !== null) this.#moveEnd(drag.end, [du, dv])
    else {
      const [cu, cv] = this.#middle
      this.#centre = [cu - du, cv - dv]
      this.requestUpdate()
    }
  }

  #up(event: PointerEvent): void {
    if (this.#drag?.id === event.pointerId) this.#drag = null
  }
}
