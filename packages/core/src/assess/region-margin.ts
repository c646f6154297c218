import { type BoneMargin, cellAreasMm2, FLAG_BITS } from '../bone/index.js'
import { type FixtureProfile, radiusAtMm } from '../fixture/index.js'

/** Radial margin of a part of the map: a sector, a level, or a sector at a level. Means and shares are by area. */
export interface RegionMargin {
  /** Least radial margin, mm; null where no ray of the region has a number. */
  readonly minimumMm: number | null
  readonly meanMm: number | null
  /** Half width of the measurement's own 95 % interval at the minimum, mm, without the floor of what is shown. */
  readonly halfWidthMm: number | null
  /**
   * Share of the region's surface below the limit, 0 to 1, of all that is known to lie below or not: where the axis is
   * outside bone it does, where no surface is in range it does not; rays without data are left out. Null where all are.
   */
  readonly belowLimitShare: number | null
  /** Area of the fixture's surface in the region whose radial margin is below the limit, mm2. */
  readonly belowLimitMm2: number
  readonly limitMm: number
  /** Rays of the map in the region. */
  readonly rays: number
  /**
   * Rays without a number because data is missing, or the scan ends, before they are through the wanted margin: a
   * smaller margin there cannot be ruled out.
   */
  readonly openRays: number
  /** Thickness of the cortical plate behind the region, mm; null in fast mode and where none was fitted. */
  readonly cortexMeanMm: number | null
  readonly cortexMinimumMm: number | null
  /** Rays whose plate is too thin to measure (flag `thin`): with any, the least thickness is only known to be small. */
  readonly thinRays: number
}

/** A region's limits, mm. */
export interface RegionLimits {
  readonly limitMm: number
  /** The margin that is wanted there: beyond it a ray need not be followed. */
  readonly wantedMm: number
}

/** Sums up a region, given by rows and columns of the map, against its limits. */
export type RegionSummary = (
  rows: readonly number[],
  columns: readonly number[],
  limits: RegionLimits,
) => RegionMargin

/** Grafts make many rays alike: of those within so much the first counts, whatever the last bits of an engine say. */
const TIE_MM = 1e-9

/** The summary of regions of a margin. */
export function regionSummary(margin: BoneMargin, profile: FixtureProfile): RegionSummary {
  const { grid, states, flags, radialMm, halfWidthMm, cortexMm, hits } = margin
  const width = grid.anglesDeg.length
  const areaOf = cellAreasMm2(profile, grid.depthsMm, width)
  const radiusOf = grid.depthsMm.map((depthMm) => radiusAtMm(profile, depthMm))

  return (rows, columns, { limitMm, wantedMm }) => {
    const radial = new AreaMean()
    const cortex = new AreaMean()
    let least = Number.POSITIVE_INFINITY
    let ownMm = Number.NaN
    let openRays = 0
    let thinRays = 0
    let knownMm2 = 0
    let belowLimitMm2 = 0
    for (const row of rows) {
      const area = areaOf[row]
      for (const column of columns) {
        const n = row * width + column
        const value = radialMm[n]
        radial.add(value, area)
        cortex.add(cortexMm[n], area)
        if ((flags[n] & FLAG_BITS.thin) !== 0) thinRays++
        if (value < least - TIE_MM) {
          least = value
          ownMm = halfWidthMm[n]
        }
        if (states[n] === 'no-data') {
          if (hits.followedMm[n] - radiusOf[row] < wantedMm) openRays++
        } else {
          knownMm2 += area
          if (states[n] === 'axis-outside' || value < limitMm) belowLimitMm2 += area
        }
      }
    }
    return {
      minimumMm: radial.minimum,
      meanMm: radial.mean,
      halfWidthMm: numberOrNull(ownMm),
      belowLimitShare: knownMm2 > 0 ? belowLimitMm2 / knownMm2 : null,
      belowLimitMm2,
      limitMm,
      rays: rows.length * columns.length,
      openRays,
      cortexMeanMm: cortex.mean,
      cortexMinimumMm: cortex.minimum,
      thinRays,
    }
  }
}

/** Least and mean by area of the numbers among the values. */
class AreaMean {
  #least = Number.POSITIVE_INFINITY
  #sum = 0
  #area = 0

  add(value: number, area: number): void {
    if (Number.isNaN(value)) return
    this.#least = Math.min(this.#least, value)
    this.#sum += area * value
    this.#area += area
  }

  get minimum(): number | null {
    return this.#area > 0 ? this.#least : null
  }

  get mean(): number | null {
    return this.#area > 0 ? this.#sum / this.#area : null
  }
}

const numberOrNull = (value: number): number | null => (Number.isNaN(value) ? null : value)
