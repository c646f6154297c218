import type { ReactiveController, ReactiveControllerHost } from 'lit'
import type { Pixel } from './view.js'

type Host = ReactiveControllerHost & HTMLElement

const closest = 8
const widest = 0.3

/**
 * Size, zoom and pan of a drawing. Wheel, pinch and dragging the background act only while the drawing has the focus,
 * so that a page can be scrolled over it.
 */
export class Viewport implements ReactiveController {
  width = 0
  height = 0
  /** Against the scale at which everything is seen. */
  factor = 1
  /** Shift of the picture, CSS pixels at the present scale. */
  pan: Pixel = [0, 0]
  readonly #host: Host
  readonly #home: (width: number, height: number) => number
  readonly #touches = new Map<number, Pixel>()
  #stage: HTMLElement | null = null
  readonly #observer: ResizeObserver

  /** @param home the mm a pixel at which a drawing of the given size shows everything. */
  constructor(host: Host, home: (width: number, height: number) => number) {
    this.#host = host
    this.#home = home
    this.#observer = new ResizeObserver(() => this.#measure())
    host.addController(this)
  }

  get mmPerPixel(): number {
    return this.#home(Math.max(1, this.width), Math.max(1, this.height)) / this.factor
  }

  hostUpdated(): void {
    const stage = this.#host.shadowRoot?.querySelector<HTMLElement>('.stage') ?? null
    if (stage === this.#stage || stage === null) return
    this.#stage = stage
    this.#observer.observe(stage)
    stage.addEventListener('wheel', this.#wheel, { passive: false })
    stage.addEventListener('touchstart', this.#touch, { passive: false })
    stage.addEventListener('pointerdown', this.#down)
    stage.addEventListener('pointermove', this.#move)
    for (const name of ['pointerup', 'pointercancel'] as const) stage.addEventListener(name, this.#up)
  }

  hostDisconnected(): void {
    this.#observer.disconnect()
    this.#stage = null
  }

  /** Zooms about a point of the stage (its middle by default); factor above 1 comes closer. */
  zoom(factor: number, about: Pixel = [this.width / 2, this.height / 2]): void {
    const before = this.factor
    this.factor = Math.min(closest, Math.max(widest, before * factor))
    const real = this.factor / before
    const shift = (n: 0 | 1): number => {
      const middle = (n === 0 ? this.width : this.height) / 2
      return (this.pan[n] - (about[n] - middle)) * real + (about[n] - middle)
    }
    this.pan = [shift(0), shift(1)]
    this.#host.requestUpdate()
  }

  /** Back to the whole drawing. */
  fit(): void {
    this.factor = 1
    this.pan = [0, 0]
    this.#host.requestUpdate()
  }

  /** A pointer's place on the stage. */
  at(event: MouseEvent): Pixel {
    const box = this.#stage?.getBoundingClientRect()
    return [event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0)]
  }

  #measure(): void {
    const stage = this.#stage
    if (stage === null) return
    const { clientWidth, clientHeight } = stage
    if (clientWidth === this.width && clientHeight === this.height) return
    this.width = clientWidth
    this.height = clientHeight
    this.#host.requestUpdate()
  }

  get #focused(): boolean {
    return this.#host.matches(':focus-within')
  }

  readonly #wheel = (event: WheelEvent): void => {
    if (!this.#focused) return
    event.preventDefault()
    this.zoom(Math.exp(-event.deltaY * 0.0015), this.at(event))
  }

  /** Browsers do not all keep to touch-action on parts of an SVG: a finger on a handle must not scroll the page. */
  readonly #touch = (event: TouchEvent): void => {
    if (event.target instanceof Element && event.target.closest('.grip') !== null) event.preventDefault()
  }

  readonly #down = (event: PointerEvent): void => {
    const taken = event
      .composedPath()
      .some((node) => node instanceof Element && node.matches('.grip, button'))
    if (taken || !this.#focused) return
    this.#touches.set(event.pointerId, this.at(event))
    this.#stage?.setPointerCapture(event.pointerId)
  }

  readonly #move = (event: PointerEvent): void => {
    const before = this.#touches.get(event.pointerId)
    if (before === undefined) return
    const now = this.at(event)
    const other = [...this.#touches].find(([id]) => id !== event.pointerId)?.[1]
    if (other !== undefined) {
      const spread = (p: Pixel): number => Math.max(10, Math.hypot(p[0] - other[0], p[1] - other[1]))
      this.zoom(spread(now) / spread(before), [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2])
    } else {
      this.pan = [this.pan[0] + now[0] - before[0], this.pan[1] + now[1] - before[1]]
      this.#host.requestUpdate()
    }
    this.#touches.set(event.pointerId, now)
  }

  readonly #up = (event: PointerEvent): void => {
    this.#touches.delete(event.pointerId)
  }
}
