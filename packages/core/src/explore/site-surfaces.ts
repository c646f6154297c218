import { type BoneModel, type SiteRegion, type SiteSurface, siteSurfaceSteps } from '../bone/index.js'

/** The last surface of each model: the same region is asked for as long as nothing moves by a millimetre. */
const kept = new WeakMap<BoneModel, { readonly key: string; readonly surface: SiteSurface }>()

/** The surface of a region, found once. In steps of some 10 ms. */
export function* surfaceOf(model: BoneModel, region: SiteRegion): Generator<number, SiteSurface> {
  const known = kept.get(model)
  const key = JSON.stringify(region)
  if (known?.key === key) return known.surface
  const steps = siteSurfaceSteps(model, region)
  for (;;) {
    const step = steps.next()
    if (step.done) {
      kept.set(model, { key, surface: step.value })
      return step.value
    }
    yield 0
  }
}
