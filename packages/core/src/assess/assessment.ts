import type { ScanCalibration } from '../bone/index.js'
import type { AccessChannel, AngledChannel, Emergence, ExitResult } from '../crown/index.js'
import type { GraftSize } from '../graft/index.js'
import type { Vec3 } from '../space/index.js'
import type { ConfirmedGeometry, GreyUnit, ScanIdentity, ScanRemark } from '../volume/index.js'
import type { DensityResult } from './density-result.js'
import type { GraftAssessment } from './graft-assessment.js'
import type { MarginResult } from './margin-result.js'
import type { RetentionFinding } from './retention-result.js'

/** The scan an assessment was measured on, and all there is to know about it. No names of persons or files. */
export interface AssessedScan extends ScanIdentity {
  readonly spacingMm: Vec3
  readonly unit: GreyUnit
  readonly remarks: readonly ScanRemark[]
  /** What of its geometry a person confirmed; absent when the file gave all of it. */
  readonly confirmed?: ConfirmedGeometry
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
  /** The straight channel's opening and what is left of the crown round it. */
  readonly channel: AccessChannel
  /** What a bent channel can do. */
  readonly angled: AngledChannel
  /** How the platform lies under the crown. */
  readonly emergence: Emergence
  /** The three ways of holding the crown: screw straight, screw angled, cemented. */
  readonly retention: readonly RetentionFinding[]
  readonly margin: MarginResult
  /** What the planned graft comes to and changes; null where none is planned or nothing of it lies outside bone. */
  readonly graft: GraftAssessment | null
  /** What a graft to the wanted margins would come to, planned or not; null where nothing is wanting. */
  readonly graftNeeded: GraftSize | null
  readonly density: DensityResult
  readonly calibration: ScanCalibration
  readonly findings: readonly Finding[]
  readonly cautions: readonly string[]
}
