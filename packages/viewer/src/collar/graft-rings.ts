import {
  along,
  axisPoint,
  fixtureFrame,
  type GraftAssessment,
  type Plan,
  radialDirection,
} from '@alveometer/core'
import type { GraftShape } from '../drawing/graft-hatch.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'

/** Thinner than this nothing is drawn, mm. */
const leastMm = 0.02

/** The graft at one depth as closed lines in a slice across the fixture; empty where the graft does not reach. */
export function collarGraft(view: View, plan: Plan, graft: GraftAssessment, depthMm: number): GraftShape {
  const row = rowAt(graft, depthMm)
  if (row === null) return { built: [], kept: [] }
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const middle = axisPoint(frame, depthMm)
  const at = (angleDeg: number, distanceMm: number): Pixel =>
    toPixel(view, along(middle, radialDirection(frame, angleDeg), distanceMm))
  const inner = graft.innerMm[row] ?? []
  const ringsTo = (outer: readonly (number | null)[]): Pixel[][] =>
    rings(graft.anglesDeg, inner, outer).map((ring) => ring.map(([angle, mm]) => at(angle, mm)))
  return { built: ringsTo(graft.outerMm[row] ?? []), kept: ringsTo(graft.keptMm[row] ?? []) }
}

/** The row of a depth; null past the first or last one. */
function rowAt({ depthsMm }: GraftAssessment, depthMm: number): number | null {
  const [first = 0, second = first + 1] = depthsMm
  const row = Math.round((depthMm - first) / (second - first))
  return row < 0 || row >= depthsMm.length ? null : row
}

type Polar = readonly [angleDeg: number, mm: number]

/**
 * Closed lines round what lies between two surfaces over evenly spaced angles. A run of angles goes along the outer and
 * back along the inner surface; all the way round it is two lines, one within the other.
 */
export function rings(
  anglesDeg: readonly number[],
  inner: readonly (number | null)[],
  outer: readonly (number | null)[],
): Polar[][] {
  const count = anglesDeg.length
  const spans = anglesDeg.map((angleDeg, n) => {
    const [from, to] = [inner[n] ?? null, outer[n] ?? null]
    return from === null || to === null || to - from < leastMm ? null : { angleDeg, from, to }
  })
  const gap = spans.indexOf(null)
  if (gap < 0) {
    const all = spans.flatMap((span) => (span === null ? [] : [span]))
    return [
      all.map((s) => [s.angleDeg, s.to] as const),
      all.map((s) => [s.angleDeg, s.from] as const).reverse(),
    ]
  }
  const found: Polar[][] = []
  let run: { angleDeg: number; from: number; to: number }[] = []
  const step = 360 / count
  for (let k = 1; k <= count; k++) {
    const span = spans[(gap + k) % count] ?? null
    if (span !== null) {
      run.push(span)
      continue
    }
    const [first, last] = [run[0], run[run.length - 1]]
    if (first !== undefined && last !== undefined)
      // The ends lie somewhere between two rays: half a step on, where both surfaces are taken to meet.
      found.push([
        [first.angleDeg - step / 2, first.from],
        ...run.map((s) => [s.angleDeg, s.to] as const),
        [last.angleDeg + step / 2, last.from],
        ...run.map((s) => [s.angleDeg, s.from] as const).reverse(),
      ])
    run = []
  }
  return found
}
