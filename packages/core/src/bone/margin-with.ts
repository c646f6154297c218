import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  radialDirection,
  radiusAtMm,
} from '../fixture/index.js'
import { exposedAreas } from './exposure.js'
import { FLAG_BITS, type RayState, type SurfaceHits } from './hits.js'
import { type BoneMargin, leastRadial } from './margin.js'
import { leastNearest } from './nearest-margin.js'
import { FAST_HALF_WIDTH_MM, shownHalfWidthMm } from './shown-interval.js'

/** How far bone would reach along a ray, mm from the axis; infinite: beyond range; NaN: as it was measured. */
export type ReachAt = (depthMm: number, angleDeg: number, state: RayState) => number

/**
 * The margin as it would be if bone reached somewhere else on some rays: exposure, minimum and nearest distance worked out
 * anew from the same numbers elsewhere. Such rays have no cortical plate; their half width is that of the bone that was
 * measured there, or the fast march's. The map of nearest distances is left out.
 */
export function marginWith(
  margin: BoneMargin,
  frame: FixtureFrame,
  profile: FixtureProfile,
  reachAt: ReachAt,
): BoneMargin {
  const { grid, source } = margin
  const { anglesDeg } = grid
  const columns = anglesDeg.length
  const changed = withReach(margin.hits, frame, grid.depthsMm, anglesDeg, reachAt)
  const { hits } = changed
  const radialMm = hits.radiusMm.map(
    (r, n) => r - radiusAtMm(profile, grid.depthsMm[Math.floor(n / columns)]),
  )
  const halfWidthMm = margin.halfWidthMm.map((half, n) =>
    changed.rays[n] === 1 && Number.isNaN(half) ? FAST_HALF_WIDTH_MM : half,
  )
  const unless = (values: Float64Array) => values.map((v, n) => (changed.rays[n] === 1 ? Number.NaN : v))
  const minimum = leastRadial(radialMm, grid)
  const least = minimum?.place ?? null
  const { states } = hits
  let nearestMm = least?.radialMm ?? null
  let { uncertaintyMm } = margin
  if (source !== null) {
    const { model, fan } = source
    // Rays of the dome lean: they stay as they are.
    const rows = fan.mapFrom + fan.mapRows
    const net = withReach(source.net, frame, fan.depthsMm.slice(0, rows), anglesDeg, reachAt).hits
    nearestMm = leastNearest({ model, frame, profile, grid, states, radialMm, net })
    uncertaintyMm = shownHalfWidthMm(model, minimum === null ? FAST_HALF_WIDTH_MM : halfWidthMm[minimum.ray])
  }
  return {
    ...margin,
    states,
    flags: margin.flags.map((bits, n) =>
      changed.rays[n] === 1 ? bits & ~(FLAG_BITS.thin | FLAG_BITS.unrefined) : bits,
    ),
    radialMm,
    halfWidthMm,
    cortexMm: unless(margin.cortexMm),
    cortexHalfWidthMm: unless(margin.cortexHalfWidthMm),
    nearestMapMm: null,
    minimum: least,
    nearestMm,
    ...exposedAreas({ grid, states, radialMm }, profile),
    uncertaintyMm,
    hits,
  }
}

function withReach(
  hits: SurfaceHits,
  frame: FixtureFrame,
  depthsMm: readonly number[],
  anglesDeg: readonly number[],
  reachAt: ReachAt,
): { readonly hits: SurfaceHits; readonly rays: Uint8Array } {
  const states: RayState[] = [...hits.states]
  const radiusMm = hits.radiusMm.slice()
  const points = hits.points.slice()
  const rays = new Uint8Array(states.length)
  const directions = anglesDeg.map((angle) => radialDirection(frame, angle))
  depthsMm.forEach((depthMm, row) => {
    const start = axisPoint(frame, depthMm)
    anglesDeg.forEach((angleDeg, c) => {
      const n = row * anglesDeg.length + c
      const reach = reachAt(depthMm, angleDeg, states[n])
      if (Number.isNaN(reach)) return
      const ends = Number.isFinite(reach)
      rays[n] = 1
      states[n] = ends ? 'bone' : 'no-surface'
      radiusMm[n] = ends ? reach : Number.NaN
      for (const a of [0, 1, 2] as const) points[3 * n + a] = start[a] + radiusMm[n] * directions[c][a]
    })
  })
  return { hits: { ...hits, states, radiusMm, points }, rays }
}
