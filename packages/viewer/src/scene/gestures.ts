import type { ReactiveController, ReactiveControllerHost } from 'lit'
import { type Orbit, type PixelSize, pan, turn, zoom } from './orbit.js'

/** What the gestures move: read and written through these, so the element keeps the one copy. */
export interface GestureTarget {
  getOrbit(): Orbit
  setOrbit(orbit: Orbit): void
  getSize(): PixelSize
  reset(): void
}

const DEG_PER_PX = 0.4
const KEY_DEG = 5
const KEY_ZOOM = 1.15

/**
 * One pointer turns; the middle or right button, or Shift, moves; two pointers zoom and move. The wheel zooms only
 * while the view has the focus, so that a page with the view in it still scrolls.
 */
export class SceneGestures implements ReactiveController {
  private readonly target: GestureTarget
  private readonly pointers = new Map<number, readonly [number, number]>()

  constructor(host: ReactiveControllerHost, target: GestureTarget) {
    this.target = target
    host.addController(this)
  }

  hostDisconnected(): void {
    this.pointers.clear()
  }

  readonly down = (event: PointerEvent): void => {
    const view = event.currentTarget as HTMLElement
    view.focus({ preventScroll: true })
    view.setPointerCapture(event.pointerId)
    this.pointers.set(event.pointerId, [event.clientX, event.clientY])
  }

  readonly move = (event: PointerEvent): void => {
    const before = this.pointers.get(event.pointerId)
    if (before === undefined) return
    const now = [event.clientX, event.clientY] as const
    const other = [...this.pointers].find(([id]) => id !== event.pointerId)?.[1]
    this.pointers.set(event.pointerId, now)
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]]
    const orbit = this.target.getOrbit()
    const size = this.target.getSize()
    if (other !== undefined) {
      const apart = ([x, y]: readonly [number, number]) => Math.hypot(x - other[0], y - other[1])
      const factor = apart(now) / Math.max(1, apart(before))
      this.target.setOrbit(zoom(pan(orbit, dx / 2, dy / 2, size), factor))
    } else if (event.shiftKey || (event.buttons & 6) !== 0) {
      this.target.setOrbit(pan(orbit, dx, dy, size))
    } else {
      this.target.setOrbit(turn(orbit, dx * DEG_PER_PX, -dy * DEG_PER_PX))
    }
  }

  readonly up = (event: PointerEvent): void => {
    this.pointers.delete(event.pointerId)
  }

  readonly wheel = (event: WheelEvent): void => {
    if (!(event.currentTarget as HTMLElement).matches(':focus')) return
    event.preventDefault()
    this.target.setOrbit(zoom(this.target.getOrbit(), Math.exp(-event.deltaY * 0.0015)))
  }

  readonly key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const orbit = this.target.getOrbit()
    const turned = TURNS[event.key]
    if (turned !== undefined) this.target.setOrbit(turn(orbit, ...turned))
    else if (event.key === '+' || event.key === '=') this.target.setOrbit(zoom(orbit, KEY_ZOOM))
    else if (event.key === '-') this.target.setOrbit(zoom(orbit, 1 / KEY_ZOOM))
    else if (event.key === 'Home') this.target.reset()
    else return
    event.preventDefault()
  }

  readonly menu = (event: Event): void => event.preventDefault()
}

const TURNS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-KEY_DEG, 0],
  ArrowRight: [KEY_DEG, 0],
  ArrowUp: [0, KEY_DEG],
  ArrowDown: [0, -KEY_DEG],
}
