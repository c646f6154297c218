import { add, type Plan, type Vec3 } from '@alveometer/core'
import { tell } from '../events.js'
import { apexOf, dragEnd, moveCrown, moveFixture } from '../session/index.js'
import { type Pixel, stepMm, type View } from './view.js'

export type DragKind = 'body' | 'platform' | 'apex' | 'crown'

/** The plan after one of its handles was drawn along by a vector in LPS mm. */
export function dragged(plan: Plan, kind: DragKind, deltaMm: Vec3): Plan {
  switch (kind) {
    case 'body':
      return moveFixture(plan, deltaMm)
    case 'crown':
      return moveCrown(plan, deltaMm)
    case 'platform':
      return dragEnd(plan, 'platform', add(plan.fixture.platform, deltaMm))
    case 'apex':
      return dragEnd(plan, 'apex', add(apexOf(plan), deltaMm))
  }
}

/** One drag, from pointer down to up. Every move starts again from the plan at its beginning, so nothing adds up. */
export class Drag {
  readonly kind: DragKind
  readonly pointerId: number
  readonly #plan: Plan
  readonly #view: View
  readonly #start: Pixel
  readonly #host: EventTarget

  constructor(host: EventTarget, kind: DragKind, pointerId: number, plan: Plan, view: View, start: Pixel) {
    this.#host = host
    this.kind = kind
    this.pointerId = pointerId
    this.#plan = plan
    this.#view = view
    this.#start = start
    tell(host, 'alv-plan', { phase: 'begin', plan })
  }

  move(to: Pixel): void {
    const delta = stepMm(this.#view, to[0] - this.#start[0], to[1] - this.#start[1])
    tell(this.#host, 'alv-plan', { phase: 'move', plan: dragged(this.#plan, this.kind, delta) })
  }

  end(phase: 'end' | 'cancel', plan: Plan): void {
    tell(this.#host, 'alv-plan', { phase, plan })
  }
}
