import { axisPoint, type FixtureFrame } from '../fixture/index.js'
import { RANGE_MM } from './march.js'
import type { BoneModel } from './model.js'
import { ABOVE_MM } from './rays.js'
import { siteSurfaceSteps } from './site-surface.js'
import type { SiteRegion } from './site-surface-grid.js'
import type { SiteSurface } from './site-surface-result.js'

/** Regions begin and end at multiples of this, mm: a fixture that is moved a little stays in the same one. */
const SNAP_MM = 4
/** Beyond the reach of rays, so that distances there are to ends inside the region. */
const ROUND_MM = 1
/** Surfaces kept with a model: one is some 15 MB. */
const MOST_KEPT = 2

/** The box in which rays of a fixture look for the surface of bone; the same for fixtures that lie near each other. */
export function fixtureRegion(frame: FixtureFrame, lengthMm: number): SiteRegion {
  const ends = [axisPoint(frame, -Math.max(...ABOVE_MM)), axisPoint(frame, lengthMm)]
  const reachMm = RANGE_MM + ROUND_MM
  const low = (a: number) => Math.floor((Math.min(...ends.map((p) => p[a])) - reachMm) / SNAP_MM) * SNAP_MM
  const high = (a: number) => Math.ceil((Math.max(...ends.map((p) => p[a])) + reachMm) / SNAP_MM) * SNAP_MM
  return { lowMm: [low(0), low(1), low(2)], highMm: [high(0), high(1), high(2)] }
}

const kept = new WeakMap<BoneModel, Map<string, SiteSurface>>()

/** The surface of bone round a fixture, found on first use and kept with the model, the last few of them; in steps. */
export function* fixtureSurfaceSteps(
  model: BoneModel,
  frame: FixtureFrame,
  lengthMm: number,
): Generator<void, SiteSurface> {
  const region = fixtureRegion(frame, lengthMm)
  const name = [...region.lowMm, ...region.highMm].join(' ')
  const known = kept.get(model)?.get(name)
  if (known !== undefined) return known
  const surface = yield* siteSurfaceSteps(model, region)
  const surfaces = kept.get(model) ?? new Map<string, SiteSurface>()
  kept.set(model, surfaces.set(name, surface))
  for (const oldest of surfaces.keys()) {
    if (surfaces.size <= MOST_KEPT) break
    surfaces.delete(oldest)
  }
  return surface
}
