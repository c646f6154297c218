import { type FixtureFrame, type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import { along, toIndex, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import { exposedAreas } from './exposure.js'
import { hitRows, type RayState, type SurfaceHits } from './hits.js'
import { firstExterior, RANGE_MM } from './march.js'
import { type BoneMargin, halfWidths, leastRadial } from './margin.js'
import { rayToMasks } from './masks.js'
import { apexRay, type RayFan, rayFan } from './rays.js'
import { FAST_HALF_WIDTH_MM, shownHalfWidthMm } from './shown-interval.js'
import type { SiteSurface } from './site-surface-result.js'
import { surfaceFlags } from './surface-flags.js'
import { leastSurfaceDistance } from './surface-nearest.js'
import { ProbeField } from './surface-probe-field.js'
import { ENDS, NO_DATA, NO_SURFACE, STARTS_OUTSIDE, SurfaceRay } from './surface-ray.js'

/**
 * The margin of a fixture from a site's surface: same rays, states and flags as fastMargin. A ray has no surface when bone
 * reaches beyond 10 mm from the axis or beyond the region that the surface was found in.
 */
export function surfaceMargin(
  surface: SiteSurface,
  frame: FixtureFrame,
  profile: FixtureProfile,
  grid: SurfaceGrid,
): BoneMargin {
  const { model } = surface
  const fan = rayFan(frame, grid)
  const field = new ProbeField(surface)
  const net = followed(field, fan)
  const hits = hitRows(net, fan.mapFrom, fan.mapRows)
  const { states } = hits
  const radialMm = hits.radiusMm.map(
    (r, n) => r - radiusAtMm(profile, grid.depthsMm[Math.floor(n / hits.columns)]),
  )
  const nothing = radialMm.map(() => Number.NaN)
  const halfWidthMm = halfWidths(model, radialMm, null)
  const minimum = leastRadial(radialMm, grid)
  const nearestMm = leastSurfaceDistance(surface, profile, grid)(frame, minimum?.place.radialMm ?? Number.NaN)
  const apex = apexRay(fan)
  return {
    mode: 'surface',
    grid,
    states,
    flags: surfaceFlags(field, fan, net, leaking(surface, fan)),
    radialMm,
    halfWidthMm,
    cortexMm: nothing,
    cortexHalfWidthMm: nothing,
    blurMm: null,
    nearestMapMm: null,
    aboveApexMm: net.states[apex] === 'bone' ? net.radiusMm[apex] : null,
    minimum: minimum === null ? null : minimum.place,
    nearestMm: Number.isNaN(nearestMm) ? null : nearestMm,
    ...exposedAreas({ grid, states, radialMm }, profile),
    uncertaintyMm: shownHalfWidthMm(model, minimum === null ? FAST_HALF_WIDTH_MM : halfWidthMm[minimum.ray]),
    hits,
    source: { model, fan, net, masked: endingAtMasks(surface, fan, net), surface },
  }
}

const STATES: Readonly<Record<number, RayState>> = {
  [ENDS]: 'bone',
  [STARTS_OUTSIDE]: 'axis-outside',
  [NO_SURFACE]: 'no-surface',
  [NO_DATA]: 'no-data',
}

/** All rays of a fan through the field. */
function followed(field: ProbeField, { rows, columns, starts, directions }: RayFan): SurfaceHits {
  const count = rows * columns
  const states: RayState[] = []
  const radiusMm = new Float64Array(count).fill(Number.NaN)
  const followedMm = new Float64Array(count)
  const points = new Float64Array(3 * count).fill(Number.NaN)
  const ray = new SurfaceRay(field)
  const perMm = 1 / field.stepMm
  for (let row = 0; row < rows; row++) {
    const start = starts[row] as WorldPoint
    const [i, j, k] = field.place(start)
    for (let n = row * columns; n < (row + 1) * columns; n++) {
      const direction = directions[n] as Vec3
      const [x, y, z] = direction
      const found = ray.follow(i, j, k, x * perMm, y * perMm, z * perMm, RANGE_MM)
      states.push(STATES[found])
      followedMm[n] = ray.foundMm
      if (found !== ENDS) continue
      radiusMm[n] = ray.foundMm
      points.set(along(start, direction, ray.foundMm), 3 * n)
    }
  }
  return { rows, columns, states, radiusMm, followedMm, points }
}

/** 1 for rays that the outside reaches through a narrow opening only. */
function leaking({ model }: SiteSurface, { starts, directions, columns }: RayFan): Uint8Array {
  const { worldToIndex } = model.volume
  return Uint8Array.from(directions, (direction, n) => {
    const index = toIndex(worldToIndex, starts[Math.floor(n / columns)])
    const met = firstExterior(model, index, transformDirection(worldToIndex, direction), RANGE_MM)
    return met.leak ? 1 : 0
  })
}

/** The surface at a mask is known to so much, mm. */
const NEAR_MASK_MM = 0.1

/** 1 for rays that end at a mask: what is behind is no bone. */
function endingAtMasks({ model }: SiteSurface, fan: RayFan, { states, radiusMm }: SurfaceHits): Uint8Array {
  const { starts, directions, columns } = fan
  const masked = new Uint8Array(states.length)
  if (model.masks.length === 0) return masked
  const toMasks = rayToMasks(model.masks)
  for (let n = 0; n < masked.length; n++) {
    if (states[n] !== 'bone') continue
    const start = starts[Math.floor(n / columns)]
    if (toMasks(start, directions[n], radiusMm[n] + NEAR_MASK_MM) !== null) masked[n] = 1
  }
  return masked
}
