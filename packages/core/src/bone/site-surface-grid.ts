import { toIndex, transformDirection, type Vec3, type WorldPoint } from '../space/index.js'
import type { Volume } from '../volume/index.js'

/** A box along the LPS axes, mm. */
export interface SiteRegion {
  readonly lowMm: WorldPoint
  readonly highMm: WorldPoint
}

/** A cubic grid along the LPS axes: node (i, j, k), x fastest, lies at originMm + stepMm (i, j, k). */
export interface SiteGrid {
  readonly originMm: Vec3
  readonly stepMm: number
  readonly shape: Vec3
}

/** More nodes than that are a mistake: a whole scan at 0.25 mm. */
const MOST_NODES = 2e8

/**
 * The grid that holds a region. Its nodes are whole multiples of the step, so that the grids of two regions share them.
 * @throws RangeError for a region without size, or one too large to be a site.
 */
export function siteGrid({ lowMm, highMm }: SiteRegion, stepMm: number): SiteGrid {
  const axes = [0, 1, 2] as const
  if (!axes.every((a) => highMm[a] - lowMm[a] > stepMm && Math.abs(lowMm[a]) < 1e6))
    throw new RangeError(
      `the region of a site needs a size; got ${lowMm.join(', ')} to ${highMm.join(', ')} mm`,
    )
  const first = axes.map((a) => Math.floor(lowMm[a] / stepMm + 1e-9))
  const count = axes.map((a) => Math.ceil(highMm[a] / stepMm - 1e-9) - first[a] + 1)
  const nodes = count[0] * count[1] * count[2]
  if (!(nodes <= MOST_NODES)) throw new RangeError(`the region of a site is too large: ${nodes} nodes`)
  return {
    originMm: [first[0] * stepMm, first[1] * stepMm, first[2] * stepMm],
    stepMm,
    shape: [count[0], count[1], count[2]],
  }
}

/** Where a grid's nodes lie in another space of the volume: `origin` + i `along[0]` + j `along[1]` + k `along[2]`. */
export interface NodePlaces {
  readonly origin: Vec3
  readonly along: readonly [Vec3, Vec3, Vec3]
}

/** The nodes in the volume's index space. */
export function nodeIndices({ originMm, stepMm }: SiteGrid, { worldToIndex }: Volume): NodePlaces {
  return {
    origin: toIndex(worldToIndex, originMm),
    along: [
      transformDirection(worldToIndex, [stepMm, 0, 0]),
      transformDirection(worldToIndex, [0, stepMm, 0]),
      transformDirection(worldToIndex, [0, 0, stepMm]),
    ],
  }
}
