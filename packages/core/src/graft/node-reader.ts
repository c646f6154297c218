import type { GraftField } from './graft-result.js'

/** Between nodes of a field: the base, and what lies on it, mm. NaN gap: not known there, or beyond the field's depths. */
export interface AtPlace {
  baseMm: number
  gapMm: number
}

/** Reads a field between its nodes on straight lines; the answer is the same object every time. */
export function nodeReader(
  field: GraftField,
  which: 'outer' | 'kept',
): (depthMm: number, angleDeg: number) => AtPlace {
  const { depthsMm, anglesDeg, ground } = field
  const { baseMm } = ground
  const gap = which === 'outer' ? ground.builtMm : ground.keptMm
  const columns = anglesDeg.length
  const last = depthsMm.length - 1
  const first = depthsMm[0]
  const stepMm = (depthsMm[last] - first) / last
  const at: AtPlace = { baseMm: 0, gapMm: 0 }
  return (depthMm, angleDeg) => {
    const row = (depthMm - first) / stepMm
    if (!(row > -1e-9 && row < last + 1e-9)) {
      at.gapMm = Number.NaN
      return at
    }
    const r0 = Math.min(last - 1, Math.max(0, Math.floor(row)))
    const down = Math.min(1, Math.max(0, row - r0))
    const turn = ((((angleDeg % 360) + 360) % 360) * columns) / 360
    const c0 = Math.floor(turn) % columns
    const c1 = (c0 + 1) % columns
    const across = turn - Math.floor(turn)
    const a = r0 * columns + c0
    const b = r0 * columns + c1
    const c = a + columns
    const d = b + columns
    const wa = (1 - down) * (1 - across)
    const wb = (1 - down) * across
    const wc = down * (1 - across)
    const wd = down * across
    const blind =
      (wa > LEAST_WEIGHT && Number.isNaN(gap[a])) ||
      (wb > LEAST_WEIGHT && Number.isNaN(gap[b])) ||
      (wc > LEAST_WEIGHT && Number.isNaN(gap[c])) ||
      (wd > LEAST_WEIGHT && Number.isNaN(gap[d]))
    if (blind) {
      // Half way to a node of which nothing is known the nearest one counts.
      const near = down < 0.5 ? (across < 0.5 ? a : b) : across < 0.5 ? c : d
      at.baseMm = baseMm[near]
      at.gapMm = gap[near]
      return at
    }
    at.baseMm = wa * baseMm[a] + wb * baseMm[b] + wc * baseMm[c] + wd * baseMm[d]
    at.gapMm = part(wa, gap[a]) + part(wb, gap[b]) + part(wc, gap[c]) + part(wd, gap[d])
    return at
  }
}

/** A node that counts for less does not count. */
const LEAST_WEIGHT = 1e-9

const part = (weight: number, mm: number): number => (weight > LEAST_WEIGHT ? weight * mm : 0)
