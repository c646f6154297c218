import type { FixtureProfile } from '../fixture/index.js'
import type { GraftField, GraftSize } from './graft-result.js'
import { positiveMean, positiveShare } from './positive-cell.js'

/**
 * Size of a graft, as it is built or as it is expected to remain. Fields between four nodes are cut where the thickness
 * passes through zero on straight lines; within 1 % of closed forms on flat bone. A node beside rays of which nothing is
 * known counts with its own quarter.
 */
export function graftSize(
  field: GraftField,
  _profile: FixtureProfile,
  which: 'outer' | 'kept' = 'outer',
): GraftSize {
  const { depthsMm, anglesDeg, ground } = field
  const gap = which === 'outer' ? ground.builtMm : ground.keptMm
  const columns = anglesDeg.length
  const turn = (2 * Math.PI) / columns
  // Half the difference of the squares: what a node adds to the volume, per radian and millimetre of depth.
  const sector = gap.map((mm, n) => mm * (ground.baseMm[n] + mm / 2))
  const area = elements(field, gap)
  let volumeMm3 = 0
  let footprintMm2 = 0
  let thickness = 0
  for (let row = 0; row + 1 < depthsMm.length; row++) {
    const cell = turn * (depthsMm[row + 1] - depthsMm[row])
    for (let c = 0; c < columns; c++) {
      const next = (c + 1) % columns
      const a = row * columns + c
      const b = row * columns + next
      const d = a + columns
      const e = b + columns
      const on = (gap[a] > 0 ? 1 : 0) + (gap[b] > 0 ? 1 : 0) + (gap[e] > 0 ? 1 : 0) + (gap[d] > 0 ? 1 : 0)
      if (on === 0) continue
      const element = (area[a] + area[b] + area[e] + area[d]) / on
      volumeMm3 += cell * positiveMean(sector[a], sector[b], sector[e], sector[d])
      footprintMm2 += cell * element * positiveShare(gap[a], gap[b], gap[e], gap[d])
      thickness += cell * element * positiveMean(gap[a], gap[b], gap[e], gap[d])
    }
  }
  return {
    volumeMm3,
    greatestMm: greatest(gap),
    meanMm: footprintMm2 > 0 ? thickness / footprintMm2 : 0,
    footprintMm2,
    heightMm: heightOf(field, gap),
  }
}

const greatest = (gap: Float64Array): number => {
  let most = 0
  for (const mm of gap) if (mm > most) most = mm
  return most
}

/** Area of the base that a node stands for, per radian and millimetre of depth. */
function elements({ depthsMm, anglesDeg, ground }: GraftField, gap: Float64Array): Float64Array {
  const { baseMm } = ground
  const columns = anglesDeg.length
  const turn = (2 * Math.PI) / columns
  const stepMm = depthsMm.length > 1 ? depthsMm[1] - depthsMm[0] : 1
  return baseMm.map((r, n) => {
    if (!(gap[n] > 0)) return 0
    const row = n - (n % columns)
    const c = n % columns
    const across = gentler(baseMm[row + ((c + columns - 1) % columns)], r, baseMm[row + ((c + 1) % columns)])
    const down = gentler(baseMm[n - columns] ?? Number.NaN, r, baseMm[n + columns] ?? Number.NaN)
    return r * Math.hypot(1, across / turn / r, down / stepMm)
  })
}

/** The slope at a place from both sides; where it differs much, at the edge of something, the gentler one. */
function gentler(before: number, here: number, after: number): number {
  if (Number.isNaN(before)) return Number.isNaN(after) ? 0 : after - here
  if (Number.isNaN(after)) return here - before
  const [u, v] = [here - before, after - here]
  const least = Math.abs(u) < Math.abs(v) ? u : v
  return Math.abs(u - v) > EDGE_SHARE * here ? least : (u + v) / 2
}
const EDGE_SHARE = 0.05

/** From the most coronal to the most apical zero of the thickness. */
function heightOf({ depthsMm, anglesDeg }: GraftField, gap: Float64Array): number {
  const columns = anglesDeg.length
  let from = Number.POSITIVE_INFINITY
  let to = Number.NEGATIVE_INFINITY
  for (let n = 0; n < gap.length; n++) {
    if (!(gap[n] > 0)) continue
    const row = Math.floor(n / columns)
    const edge = (step: 1 | -1): number => {
      const there = depthsMm[row + step]
      const other = gap[n + step * columns]
      if (there === undefined || other > 0) return depthsMm[row]
      const share = Number.isNaN(other) ? 0.5 : gap[n] / (gap[n] - other)
      return depthsMm[row] + (there - depthsMm[row]) * share
    }
    from = Math.min(from, edge(-1))
    to = Math.max(to, edge(1))
  }
  return to > from ? to - from : 0
}
