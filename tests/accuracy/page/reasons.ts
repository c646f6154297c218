import type { SimulatedRay } from '../studies/index.js'

/** Why rays of one kind miss, after looking at the scans there. */
interface Reason {
  readonly why: string
  readonly belongs: (ray: SimulatedRay) => boolean
}

const RANGE_MM = 10
const GRAZING_DEG = 60

const isLost = (ray: SimulatedRay) => Number.isNaN(ray.errorMm)
const isGrazing = (ray: SimulatedRay) => !(ray.incidenceDeg < GRAZING_DEG)

const REASONS: readonly Reason[] = [
  {
    why: 'the flooded outside begins farther than rays look, 10 mm from the axis',
    belongs: (ray) => isLost(ray) && ray.followedMm >= RANGE_MM - 0.2,
  },
  {
    why: 'runs nearly along the surface: the low crossing lies too far behind the edge of the flood',
    belongs: (ray) => isLost(ray) && isGrazing(ray),
  },
  {
    why: 'runs nearly along the surface beside a tooth: what is off along the normal counts two to five times',
    belongs: (ray) => isGrazing(ray) && ray.nearTooth,
  },
  {
    why: 'runs nearly along the rounded crest: what is off along the normal counts two to five times',
    belongs: isGrazing,
  },
]

/** Why a ray misses, in words; says so where nobody has found out. */
export const reasonFor = (ray: SimulatedRay): string =>
  REASONS.find(({ belongs }) => belongs(ray))?.why ?? 'not known'
