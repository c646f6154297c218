import { ProbeField } from '../bone/surface-probe-field.js'
import { fixtureProfile } from '../fixture/index.js'
import { along, normalize, type Vec3 } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import type { ChartPivot } from './tilt-chart-result.js'

/** Bone is followed coronally of the platform no farther than this, mm: own choice, deeper than any fixture is sunk. */
const GREATEST_COVER_MM = 10

/**
 * The pivot of a chart, a point of the fixture's axis as planned, LPS mm. `crest`: followed coronally from the middle of
 * the fixture to where the axis leaves bone; from where it first is in bone when the middle is not; the platform when it
 * is not in bone between platform and apex, or leaves it nowhere in reach.
 */
export function chartPivot(
  site: Pick<ExploredSite, 'plan' | 'surface'>,
  pivot: ChartPivot,
): [number, number, number] {
  const { platform, apical, shape } = site.plan.fixture
  const axis = normalize(apical)
  const { lengthMm } = fixtureProfile(shape)
  if (pivot === 'apex') return along(platform, axis, lengthMm)
  const depthMm = pivot === 'crest' ? crestDepthMm(site, axis, lengthMm) : null
  return along(platform, axis, depthMm ?? 0)
}

/** Depth below the platform, negative coronal of it, at which the axis leaves bone; null where it does not. */
function crestDepthMm(
  { plan, surface }: Pick<ExploredSite, 'plan' | 'surface'>,
  axis: Vec3,
  lengthMm: number,
): number | null {
  const field = new ProbeField(surface)
  const at = (depthMm: number): number => {
    const [i, j, k] = field.place(along(plan.fixture.platform, axis, depthMm))
    return field.at(i, j, k)
  }
  // Steps of half a cell: what is thinner than a cell is not in the field either.
  const stepMm = surface.stepMm / 2
  const start = firstInBone(at, lengthMm, stepMm)
  if (start === null) return null
  let inside = start
  while (inside > -GREATEST_COVER_MM) {
    const next = inside - stepMm
    const value = at(next)
    if (Number.isNaN(value)) return null
    if (!(value > 0)) return crossing(at, next, inside)
    inside = next
  }
  return null
}

/** The middle; when it is not in bone, the nearest place apically of it and then coronally that is. */
function firstInBone(at: (depthMm: number) => number, lengthMm: number, stepMm: number): number | null {
  const half = lengthMm / 2
  const offsets = Array.from({ length: Math.floor(half / stepMm) + 1 }, (_, n) => n * stepMm)
  const depths = [...offsets.map((mm) => half + mm), ...offsets.map((mm) => half - mm)]
  return depths.find((depthMm) => at(depthMm) > 0) ?? null
}

/** Where a field that is 0 or less at the first depth and positive at the second is 0, halved down. */
function crossing(at: (depthMm: number) => number, outsideMm: number, insideMm: number): number {
  let [outside, inside] = [outsideMm, insideMm]
  for (let n = 0; n < 40; n++) {
    const middle = (outside + inside) / 2
    if (at(middle) > 0) inside = middle
    else outside = middle
  }
  return (outside + inside) / 2
}
