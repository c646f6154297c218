import { add, type Plan, type Vec3 } from '@alveometer/core'
import { tell } from '../events.js'
import { apexOf, dragEnd, moveCrown, moveFixture } from '../session/index.js'
import { type GraftHandle, graftDragged } from './graft-hand.js'
import { type Pixel, stepMm, type View } from './view.js'

export type DragKind = 'body' | 'platform' | 'apex' | 'crown' | GraftHandle

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
    default:
      return graftDragged(plan, kind, deltaMm)
  }
}

/** What a hand's way across a drawing makes of the plan: from the plan at its start, and where it is now. */
export type Way = (plan: Plan, to: Pixel) => Plan

/** A way that draws a handle along. */
export const drawnAlong =
  (kind: DragKind, view: View, start: Pixel): Way =>
  (plan, to) =>
    dragged(plan, kind, stepMm(view, to[0] - start[0], to[1] - start[1]))

/** A way round a point of the drawing: by degrees, clockwise on the screen. */
export const turnedRound = (
  pivot: Pixel,
  start: Pixel,
  turned: (plan: Plan, clockwiseDeg: number) => Plan,
): Way => {
  const angle = (p: Pixel): number => (Math.atan2(p[1] - pivot[1], p[0] - pivot[0]) * 180) / Math.PI
  const from = angle(start)
  return (plan, to) => turned(plan, ((((angle(to) - from + 180) % 360) + 360) % 360) - 180)
}

/** One drag, from pointer down to up. Every move starts again from the plan at its beginning, so nothing adds up. */
export class Drag {
  readonly pointerId: number
  readonly #plan: Plan
  readonly #way: Way
  readonly #host: EventTarget

  constructor(host: EventTarget, pointerId: number, plan: Plan, way: Way) {
    this.#host = host
    this.pointerId = pointerId
    this.#plan = plan
    this.#way = way
    tell(host, 'alv-plan', { phase: 'begin', plan })
  }

  move(to: Pixel): void {
    tell(this.#host, 'alv-plan', { phase: 'move', plan: this.#way(this.#plan, to) })
  }

  end(phase: 'end' | 'cancel', plan: Plan): void {
    tell(this.#host, 'alv-plan', { phase, plan })
  }
}
