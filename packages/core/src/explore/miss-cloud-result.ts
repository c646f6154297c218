import type { LimitsCounted, WayOut } from './held-limit.js'
import type { FixturePose } from './pose.js'

/** How far a placement may miss its plan: standard deviations, each of a normal distribution about nought. */
export interface PlacementError {
  readonly kind: 'guided' | 'freehand' | 'own'
  /** Of the platform's place in the plan's fixture frame, mm: facial-oral, mesiodistal, along the axis. */
  readonly entrySdMm: { readonly facial: number; readonly mesial: number; readonly apical: number }
  /** Of the tilt about each of two axes perpendicular to the fixture's, degrees. */
  readonly tiltSdDeg: number
  /**
   * Correlation, -1 to 1, between a sideways entry error and the tilt that carries the apex the same way: 0 for a fixture
   * that turns about its entry.
   */
  readonly correlation: number
  readonly source: string
}

export interface Percentiles {
  readonly p5: number
  readonly p25: number
  readonly p50: number
  readonly p75: number
  readonly p95: number
}

/** One limit under placement error. */
export interface MissedLimit {
  readonly code: string
  readonly where: string
  readonly unit: 'mm' | 'deg'
  readonly limit: number
  /** `least`: the value must not be smaller than the limit; `greatest`: not larger. */
  readonly side: 'least' | 'greatest'
  /** As planned. */
  readonly planned: number | null
  /** Whether it counts in `allHold`, `tolerable` and the poses' `holds`. */
  readonly counted: boolean
  /** Share of the draws that hold it, and the half width of its 95 % interval by counting. */
  readonly holds: number
  readonly holdsHalfWidth: number
  /**
   * Of the draws that miss some limit: share in which this one is missed by most of its own spread. `nearest`: where it is
   * the only one that is missed.
   */
  readonly firstShare: number
  readonly percentiles: Percentiles | null
  /**
   * Equal bins from `from` on, each `width` wide; what lies beyond is counted in the bin at that end. Null when nothing could
   * be measured.
   */
  readonly histogram: {
    readonly from: number
    readonly width: number
    readonly counts: readonly number[]
  } | null
  /** Draws in which it could not be measured: they count as missed. */
  readonly unmeasured: number
}

/** Where a placement may really end up, and which limits that breaks. Plain and serialisable. */
export interface MissCloud {
  readonly schema: 'alveometer-miss-cloud'
  readonly version: 1
  readonly tooth: string
  readonly way: WayOut
  readonly error: PlacementError
  /** SD of the bone surface's place, mm, drawn once for each placement; 0 when it was left out. */
  readonly surfaceSdMm: number
  /** Which limits `all` means below. */
  readonly counted: LimitsCounted
  readonly draws: number
  readonly seed: number
  /** Least likely to hold first. `edgeBandMm`: the exit's offset against minus the band, or how far inside the table against 0. */
  readonly limits: readonly MissedLimit[]
  /** Share of the draws that hold all of them. */
  readonly allHold: { readonly share: number; readonly halfWidth: number }
  /** Distance of platform and apex from the plan, mm, and angle of the axes, degrees. */
  readonly missed: {
    readonly entryMm: Percentiles
    readonly apexMm: Percentiles
    readonly angleDeg: Percentiles
  }
  /** Some of the draws, to be drawn. */
  readonly poses: readonly (FixturePose & { readonly holds: boolean })[]
  /**
   * The error scaled as a whole so that all limits hold in 95 % of the placements; null while it is not worked out, or when
   * they do not even without any placement error.
   */
  readonly tolerable: {
    readonly scale: number
    readonly entrySdMm: PlacementError['entrySdMm']
    readonly tiltSdDeg: number
    /** True when even the largest scale looked at keeps them. */
    readonly atLeast: boolean
  } | null
  /** Share that holds all with no placement error but that of the surface: below 0.95 no placement error is tolerable. */
  readonly allHoldStill: number
  /** False while more is drawn or the tolerable error is still being worked out. */
  readonly complete: boolean
  readonly cautions: readonly string[]
}
