import {
  type BoneMargin,
  exposedAreas,
  type FixtureProfile,
  type RadialMap,
  type RayState,
  radiusAtMm,
  surfaceGrid,
} from '../src/index.js'

/** How far from the axis bone ends, mm, or why that is not known. */
export type BoneAt = (depthMm: number, angleDeg: number) => number | RayState

/** A map of 41 depths and 72 angles. */
export function mapOf(boneMm: BoneAt, profile: FixtureProfile): RadialMap {
  const grid = surfaceGrid(profile)
  const cells = grid.depthsMm.flatMap((depth) => grid.anglesDeg.map((angle) => boneMm(depth, angle)))
  const columns = grid.anglesDeg.length
  return {
    grid,
    states: cells.map((cell) => (typeof cell === 'number' ? 'bone' : cell)),
    radialMm: Float64Array.from(cells, (cell, n) =>
      typeof cell === 'number'
        ? cell - radiusAtMm(profile, grid.depthsMm[Math.floor(n / columns)])
        : Number.NaN,
    ),
  }
}

/** Bone up to a flat plate `distanceMm` from the axis at a depth; no number where it is farther than 10 mm along the ray. */
export const plate =
  (distanceMm: (depthMm: number) => number, towardsDeg = 0): BoneAt =>
  (depthMm, angleDeg) => {
    const cosine = Math.cos(((angleDeg - towardsDeg) * Math.PI) / 180)
    const distance = distanceMm(depthMm) / cosine
    return cosine > 1e-9 && distance < 10 ? distance : 'no-surface'
  }

/** A margin made of a map: without a scan, and without what its rays do not say. */
export function marginOf(
  map: RadialMap,
  profile: FixtureProfile,
  told: Partial<BoneMargin> = {},
): BoneMargin {
  const { grid, states, radialMm } = map
  const columns = grid.anglesDeg.length
  const nothing = new Float64Array(radialMm.length).fill(Number.NaN)
  const least = radialMm.reduce(
    (at, r, n) => (r < (radialMm[at] ?? Number.NaN) || Number.isNaN(radialMm[at]) ? n : at),
    0,
  )
  return {
    mode: 'fast',
    grid,
    states,
    flags: new Uint8Array(radialMm.length),
    radialMm,
    halfWidthMm: radialMm.map((r) => (Number.isNaN(r) ? r : 0.17)),
    cortexMm: nothing,
    blurMm: null,
    cortexHalfWidthMm: nothing,
    nearestMapMm: null,
    aboveApexMm: null,
    minimum: Number.isNaN(radialMm[least])
      ? null
      : {
          radialMm: radialMm[least],
          depthMm: grid.depthsMm[Math.floor(least / columns)],
          angleDeg: grid.anglesDeg[least % columns],
        },
    nearestMm: Number.isNaN(radialMm[least]) ? null : radialMm[least],
    ...exposedAreas(map, profile),
    uncertaintyMm: 0.2,
    hits: {
      rows: grid.depthsMm.length,
      columns,
      states: [...states],
      radiusMm: radialMm.map((r, n) => r + radiusAtMm(profile, grid.depthsMm[Math.floor(n / columns)])),
      followedMm: new Float64Array(radialMm.length),
      points: new Float64Array(3 * radialMm.length).fill(Number.NaN),
    },
    source: null,
    ...told,
  }
}
