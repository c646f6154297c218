import type { ImagePlane, Plan, WaysOut } from '@alveometer/core'
import { planOf, wayPlanes } from '../decision/way-planes.js'

/** The plan of each way and the plane to picture it in, by way; `present` what was planned. */
export interface Pictured {
  readonly plans: Readonly<Record<string, Plan>>
  readonly planes: Readonly<Record<string, ImagePlane>>
}

/** Keeps them while the fixture of the plan on the table is dragged: pictures need not be drawn anew then. */
export class PicturedWays {
  #kept: { readonly plan: Plan; readonly result: WaysOut; readonly pictured: Pictured } | null = null

  of(plan: Plan, result: WaysOut): Pictured {
    const kept = this.#kept
    if (kept?.result === result && sameGround(kept.plan, plan)) return kept.pictured
    const plans = Object.fromEntries([
      ['present', planOf(plan, result.present)] as const,
      ...result.ways.map((found) => [found.way, planOf(plan, found)] as const),
    ])
    const pictured = { plans, planes: wayPlanes(plan, result) }
    this.#kept = { plan, result, pictured }
    return pictured
  }
}

const sameGround = (a: Plan, b: Plan): boolean =>
  a.site === b.site && a.crown === b.crown && a.limits === b.limits
