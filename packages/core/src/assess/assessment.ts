import type { Vec3 } from '../space/index.js'
import type { GreyUnit } from '../volume/index.js'

/** Where the access channel leaves the crown. */
export type ExitClass = 'palatal' | 'lingual' | 'incisal' | 'occlusal' | 'facial'

export interface ExitResult {
  /** Null when the channel does not meet the crown. */
  readonly class: ExitClass | null
  /** LPS mm. */
  readonly point: Vec3 | null
  /** Orofacial distance from the incisal-edge line (central groove on posterior teeth), facial positive, mm. */
  readonly offsetMm: number | null
  /** Angle at the bend pivot between the fixture axis and the line to the wanted exit, degrees. */
  readonly correctionDeg: number | null
}

/**
 * What a ray of the margin map found. `bone`: a number. `axis-outside`: the axis itself is outside bone there.
 * `no-surface`: no outer surface within range. `no-data`: the ray meets voxels that were not scanned first.
 */
export type RayState = 'bone' | 'axis-outside' | 'no-surface' | 'no-data'

export interface SectorMargin {
  /** Least radial margin in the sector, mm; null where the sector holds no number. */
  readonly minimumMm: number | null
  readonly meanMm: number | null
  /** Share of the sector's rays with a number that lie below its limit, 0 to 1. */
  readonly belowLimitShare: number | null
  readonly limitMm: number
}

export interface MarginMinimum {
  readonly radialMm: number
  /** Shortest 3D distance from the fixture surface to the outside of bone, negative where it sticks out. */
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
  /** Depth rows x angle columns; null where there is no number. */
  readonly radialMm: readonly (readonly (number | null)[])[]
  readonly state: readonly (readonly RayState[])[]
  /** Null when no ray gives a number. */
  readonly minimum: MarginMinimum | null
  /** Keys: facial, mesial, distal and palatal (upper) or lingual (lower). */
  readonly sectors: Readonly<Record<string, SectorMargin>>
  /** Height of the exposed region that reaches the platform, mm; 0 when none. */
  readonly dehiscenceMm: number
  /** Area of exposed regions that do not reach the platform, mm2. */
  readonly fenestrationMm2: number
}

export interface DensityStatistics {
  readonly mean: number
  readonly sd: number
  readonly p5: number
  readonly median: number
  readonly p95: number
  /** Mean over the samples that lie in bone; null when none does. */
  readonly boneMean: number | null
  /** Share of the samples that lie in bone, 0 to 1. */
  readonly boneShare: number
  readonly samples: number
}

export interface DensityResult {
  readonly unit: GreyUnit
  /** Inside the fixture body; null when it lies outside the scan. */
  readonly core: DensityStatistics | null
  /** Within 0.5 mm outside the fixture surface. */
  readonly shell: DensityStatistics | null
  /** Shell by thirds of the length: coronal, middle, apical. */
  readonly byLevel: Readonly<Record<string, DensityStatistics | null>>
  /** Shell by sector, the same keys as the margin's. */
  readonly bySector: Readonly<Record<string, DensityStatistics | null>>
}

export type FindingLevel = 'below' | 'between' | 'met' | 'caution' | 'note'

/** One thing to know about the plan, in words, with its number, the limit it was held against and where that comes from. */
export interface Finding {
  readonly code: string
  readonly level: FindingLevel
  readonly text: string
  readonly value: number | null
  readonly limit: number | null
  readonly unit: string
  readonly source: string
}

/** What the scan itself tells about its grey levels; see bone/calibrate. */
export interface ScanCalibration {
  readonly softGrey: number
  readonly cortexGrey: number
  readonly psfSigmaMm: number
  readonly noiseSd: number
  /** False: no thick cortex was found and the cortical level is a fallback. */
  readonly thickCortex: boolean
}

export interface Assessment {
  readonly schema: 'alveometer-assessment'
  readonly version: 1
  readonly exit: ExitResult
  readonly margin: MarginResult
  readonly density: DensityResult
  readonly calibration: ScanCalibration
  readonly findings: readonly Finding[]
  readonly cautions: readonly string[]
}
