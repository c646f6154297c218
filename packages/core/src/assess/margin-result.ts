import {
  type BoneMargin,
  exposedAreas,
  flagsOf,
  type MarginMode,
  type RayFlag,
  type RayState,
} from '../bone/index.js'
import type { FixtureProfile } from '../fixture/index.js'
import type { ShownInterval } from './interval.js'
import type { LimitValues } from './limits.js'
import { type MapRows, mapRows, numberRows } from './map-rows.js'
import { bareMm2, inBoneOf, levelMargins, type MarginCover, marginCover } from './margin-cover.js'
import type { RegionMargin } from './region-margin.js'
import type { Level, Sector } from './sectors.js'

/** What lies bare if every margin were larger or smaller by the half width of its interval; least and greatest. */
export interface ExposureRange {
  readonly shiftMm: number
  readonly dehiscenceMm: readonly [number, number]
  /** All that lies bare, mm2. */
  readonly bareMm2: readonly [number, number]
  readonly inBoneShare: readonly [number, number]
}

/** A margin as it is told. */
export interface MarginResult extends MarginCover {
  /**
   * `fast`: as shown while the fixture is moved. `surface`: on the surface of the whole site, as thousands of poses are.
   * `refined`: an edge fitted on every ray.
   */
  readonly mode: MarginMode
  readonly depthsMm: readonly number[]
  /** 0 = facial, increasing towards +y of the fixture frame. */
  readonly anglesDeg: readonly number[]
  readonly state: MapRows<RayState>
  /** Half width of the measurement's own 95 % interval on each ray, mm, without the floor of what is shown. */
  readonly halfWidthMm: MapRows<number | null>
  /** What makes a ray's number less sure. */
  readonly flags: MapRows<readonly RayFlag[]>
  /** Thickness of the cortical plate behind each ray, mm; null unless refined. */
  readonly cortexMm: MapRows<number | null> | null
  /** Half width of its 95 % interval, mm, without a floor; null unless refined. */
  readonly cortexHalfWidthMm: MapRows<number | null> | null
  /** Sigma of the blur that plates were fitted with, mm; null unless refined. */
  readonly blurMm: number | null
  /** Shortest 3D distance from each place of the surface to the outside of bone, mm; null unless refined. */
  readonly nearestMm: MapRows<number | null> | null
  /** All the way round by thirds of the length: coronal, middle, apical; held against the limit of other than facial bone. */
  readonly levels: Readonly<Record<Level, RegionMargin>>
  /** Whether what is uncovered borders on rays without data and may go on there. */
  readonly exposureOpen: boolean
  /** How far the uncovered regions may be smaller or larger; null when no ray has a number. */
  readonly exposureRange: ExposureRange | null
  /** Bone on the axis beyond the apex, mm; null where the apex is outside, data ends or no outside lies within range. */
  readonly aboveApexMm: number | null
  /** The least half width that is shown to people, and why. */
  readonly interval: ShownInterval
}

/** A margin as it is told: rows instead of arrays, and what they come to by sector, by level and where bone is missing. */
export function marginResult(
  margin: BoneMargin,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  limits: LimitValues,
  interval: ShownInterval,
): MarginResult {
  const { depthsMm, anglesDeg } = margin.grid
  const numbers = (values: Float64Array) => numberRows(values, margin)
  return {
    mode: margin.mode,
    depthsMm,
    anglesDeg,
    state: mapRows(margin, (n) => margin.states[n]),
    halfWidthMm: numbers(margin.halfWidthMm),
    flags: mapRows(margin, (n) => FLAGS[margin.flags[n]]),
    cortexMm: margin.mode === 'refined' ? numbers(margin.cortexMm) : null,
    cortexHalfWidthMm: margin.mode === 'refined' ? numbers(margin.cortexHalfWidthMm) : null,
    blurMm: margin.blurMm,
    nearestMm: margin.nearestMapMm === null ? null : numbers(margin.nearestMapMm),
    ...marginCover(margin, profile, sectors, limits),
    levels: levelMargins(margin, profile, limits),
    exposureOpen: margin.exposureOpen,
    exposureRange: exposureRange(margin, profile),
    aboveApexMm: margin.aboveApexMm,
    interval,
  }
}

/** The flags of every combination of bits. */
const FLAGS: readonly (readonly RayFlag[])[] = Array.from({ length: 16 }, (_, bits) => flagsOf(bits))

function exposureRange(margin: BoneMargin, profile: FixtureProfile): ExposureRange | null {
  if (margin.minimum === null) return null
  const { grid, states, radialMm, uncertaintyMm } = margin
  const [more, less] = [uncertaintyMm, -uncertaintyMm].map((shiftMm) =>
    exposedAreas({ grid, states, radialMm: radialMm.map((r) => r + shiftMm) }, profile),
  )
  return {
    shiftMm: uncertaintyMm,
    dehiscenceMm: [more.dehiscenceMm, less.dehiscenceMm],
    bareMm2: [bareMm2(more), bareMm2(less)],
    inBoneShare: [inBoneOf(less).share, inBoneOf(more).share],
  }
}
