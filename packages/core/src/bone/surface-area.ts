import { type FixtureProfile, radiusAtMm } from '../fixture/index.js'

/** Area of the fixture's side between two depths, mm2: exact for straight pieces, of which a profile is made. */
export function lateralAreaMm2(profile: FixtureProfile, fromMm: number, toMm: number): number {
  const between = profile.points.map(([depthMm]) => depthMm).filter((d) => d > fromMm && d < toMm)
  let area = 0
  let above = fromMm
  for (const below of [...between, toMm]) {
    const [r0, r1] = [radiusAtMm(profile, above), radiusAtMm(profile, below)]
    area += Math.PI * (r0 + r1) * Math.hypot(below - above, r1 - r0)
    above = below
  }
  return area
}

/**
 * Area of the fixture's side that one cell of a map stands for, mm2, row by row: from half way to the row above to half
 * way to the row below, none beyond the first and the last. All cells together are the whole side.
 */
export function cellAreasMm2(
  profile: FixtureProfile,
  depthsMm: readonly number[],
  columns: number,
): Float64Array {
  const half = (n: number) => (depthsMm[n] + depthsMm[n + 1]) / 2
  return Float64Array.from(depthsMm, (depthMm, row) => {
    const from = row === 0 ? depthMm : half(row - 1)
    const to = row === depthsMm.length - 1 ? depthMm : half(row)
    return lateralAreaMm2(profile, from, to) / columns
  })
}
