import type { CrownSize, Site } from '../crown/index.js'
import type { PlannedFixture } from '../fixture/index.js'
import type { GraftSpec } from '../graft/index.js'
import type { Vec3 } from '../space/index.js'
import type { ConfirmedGeometry, ScanRemark } from '../volume/index.js'

/** A crown of the table. `pose`: 16 numbers row by row, from the crown frame to LPS mm. */
export interface PlannedTabulatedCrown {
  readonly kind: 'tabulated'
  readonly tooth: string
  readonly pose: readonly number[]
  /** Sizes that replace those of the table. */
  readonly size?: CrownSize
}

/** Places on a mesh crown that a person set, in the crown's own coordinates (see PlannedMeshCrown), mm. */
export interface CrownMarks {
  readonly edgeMesial?: Vec3
  readonly edgeDistal?: Vec3
  readonly mesialContact?: Vec3
  readonly distalContact?: Vec3
  readonly zenith?: Vec3
}

/**
 * A crown from a mesh file. Its own coordinates: those of the file times the unit, with x and y turned over where the
 * file is RAS, and then x turned over (and the winding) where the mesh is of the tooth on the other side of the midline.
 * `pose`: 16 numbers row by row, from its own coordinates to LPS mm; turns and moves only.
 */
export interface PlannedMeshCrown {
  readonly kind: 'mesh'
  readonly file: string
  /** Of the file's bytes, see fileFingerprint: other files may bear the same name. */
  readonly fingerprint?: string
  readonly pose: readonly number[]
  /** The tooth that the mesh is of, ISO 3950: the site's when absent, or its antimere: then the mesh is mirrored. */
  readonly tooth?: string
  /** Millimetres in a unit of the file; 1 when absent. Absent where the file states its unit: `importMesh` applies it. */
  readonly unitMm?: number
  /** `lps` when absent. */
  readonly space?: 'lps' | 'ras'
  /** From the crown frame to its own coordinates, 16 numbers row by row; found from the site's directions when absent. */
  readonly frame?: readonly number[]
  readonly marks?: CrownMarks
}

/** The planned restoration. */
export type PlannedCrown = PlannedTabulatedCrown | PlannedMeshCrown

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
  /** Absent when nothing is to be grafted. */
  readonly graft?: GraftSpec
  /** Absent when grey values are left as they are. */
  readonly calibration?: PlannedCalibration
}
