import type { RayState, ScanCalibration } from '../bone/index.js'
import type { ExitResult } from '../crown/index.js'
import type { Vec3 } from '../space/index.js'
import type { ConfirmedGeometry, GreyUnit, ScanIdentity, ScanRemark } from '../volume/index.js'
import type { DensityResult } from './density-result.js'

/** The scan an assessment was measured on, and all there is to know about it. No names of persons or files. */
export interface AssessedScan extends ScanIdentity {
  readonly spacingMm: Vec3
  readonly unit: GreyUnit
  readonly remarks: readonly ScanRemark[]
  /** What of its geometry a person confirmed; absent when the file gave all of it. */
  readonly confirmed?: ConfirmedGeometry
}

export interface SectorMargin {
  /** Least radial margin in the sector, mm; null where the sector holds no number. */
  readonly minimumMm: number | null
  readonly meanMm: number | null
  /** Share of the sector's rays with a number that lie below its limit, 0 to 1. */
  readonly belowLimitShare: number | null
  readonly limitMm: number
  /** Rays of the map in the sector. */
  readonly rays: number
  /**
   * Rays without a number because data is missing, or the scan ends, before they are through the wanted margin: a
   * smaller margin there cannot be ruled out.
   */
  readonly openRays: number
}

export interface MarginMinimum {
  /** Least remaining bone along a ray perpendicular to the axis, mm, and where. */
  readonly radialMm: number
  /** Shortest 3D distance from the fixture surface to the outside of bone, negative where it sticks out, mm. */
  readonly nearestMm: number
  readonly depthMm: number
  readonly angleDeg: number
  /** Half width of the 95 % interval shown to people. */
  readonly uncertaintyMm: number
}

export interface MarginResult {
  readonly mode: 'fast' | 'refined'
  readonly depthsMm: readonly number[]
  /** 0 = facial, increasing towards +y of the fixture frame. */
  readonly anglesDeg: readonly number[]
  /** Depth rows x angle columns, mm; null where there is no number. */
  readonly radialMm: readonly (readonly (number | null)[])[]
  readonly state: readonly (readonly RayState[])[]
  /** Of the rays that give a number; null when none does. */
  readonly minimum: MarginMinimum | null
  /** Keys: facial, mesial, distal and palatal (upper) or lingual (lower). */
  readonly sectors: Readonly<Record<string, SectorMargin>>
  /** Greatest depth of the exposed regions that reach the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
  /** Whether what is uncovered borders on rays without data and may go on there. */
  readonly exposureOpen: boolean
}

/** How a value stands to its limit; `caution` and `note` have none. */
export type FindingLevel = 'below' | 'between' | 'met' | 'caution' | 'note'

/** One thing to know about the plan: in words, with its number, the limit it was held against and where that comes from. */
export interface Finding {
  readonly code: string
  readonly level: FindingLevel
  readonly text: string
  readonly value: number | null
  readonly limit: number | null
  readonly unit: string
  readonly source: string
}

/** Everything measured for a plan on a scan. Plain and serialisable; what is shown and printed comes from here. */
export interface Assessment {
  readonly schema: 'alveometer-assessment'
  readonly version: 1
  readonly scan: AssessedScan
  readonly exit: ExitResult
  readonly margin: MarginResult
  readonly density: DensityResult
  readonly calibration: ScanCalibration
  readonly findings: readonly Finding[]
  readonly cautions: readonly string[]
}
