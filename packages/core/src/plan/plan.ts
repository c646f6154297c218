import type { Site } from '../crown/index.js'
import type { PlannedFixture } from '../fixture/index.js'
import type { ConfirmedGeometry, ScanRemark } from '../volume/index.js'

/** The planned restoration. `pose`: 16 numbers row by row, from the crown frame (or the mesh's own coordinates) to LPS mm. */
export type PlannedCrown =
  | { readonly kind: 'tabulated'; readonly tooth: string; readonly pose: readonly number[] }
  | { readonly kind: 'mesh'; readonly file: string; readonly pose: readonly number[] }

/** The scan a plan belongs to. No names of persons. */
export interface PlannedScan {
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly fingerprint?: string
  /** What there was to know about the scan when the plan was saved; absent when that was not written down. */
  readonly remarks?: readonly ScanRemark[]
  /** What of the scan's geometry a person had confirmed. */
  readonly confirmed?: ConfirmedGeometry
}

/** Something in the scan whose density is known. */
export interface CalibrationPoint {
  readonly what: string
  readonly grey: number
  /** SD of the grey value; without it the grey value counts as exact. */
  readonly greySd?: number
  readonly hu: number
  /** SD of the Hounsfield number; USUAL_HU_SD stands for it when absent. */
  readonly huSd?: number
}

/** How a person calibrated the scan's grey values to Hounsfield units: two points or more, a rising line through them. */
export interface PlannedCalibration {
  readonly points: readonly CalibrationPoint[]
}

/** The plan document. Fields this version does not know survive reading and writing. */
export interface Plan {
  readonly schema: 'alveometer-plan'
  readonly version: 1
  readonly scan: PlannedScan
  readonly site: Site
  readonly crown: PlannedCrown
  readonly fixture: PlannedFixture
  readonly structures: readonly unknown[]
  /** Overrides of limits by their code, in the unit of that limit. */
  readonly limits: Readonly<Record<string, number>>
  /** Absent when grey values are left as they are. */
  readonly calibration?: PlannedCalibration
}
