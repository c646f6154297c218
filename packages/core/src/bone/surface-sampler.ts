import { type ProbedSurface, ProbeField } from './surface-probe-field.js'

/** Signed distance to where bone ends at a place, LPS mm: positive in bone; NaN outside the grid and on its far faces. */
export type SurfaceSampler = (x: number, y: number, z: number) => number

/**
 * Trilinear sampling of a site's field, without making objects.
 * @throws RangeError when a side of the grid has fewer than two nodes.
 */
export function surfaceSampler(surface: ProbedSurface): SurfaceSampler {
  const field = new ProbeField(surface)
  const [x0, y0, z0] = surface.originMm
  const perMm = 1 / surface.stepMm
  return (x, y, z) => field.at((x - x0) * perMm, (y - y0) * perMm, (z - z0) * perMm)
}
