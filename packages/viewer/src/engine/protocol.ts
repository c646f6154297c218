import type { Assessment, ImagePlane, Plan, Vec3 } from '@alveometer/core'
import type { ReportEntry } from '@alveometer/scan'
import type { GreyImage } from '../drawing/grey.js'

/** Where a scan comes from: files of the user, or an address of this origin. */
export type ScanSource =
  | {
      readonly kind: 'files'
      readonly files: readonly File[]
      /** Names with their folders, one a file: a dropped folder's files do not know theirs. */
      readonly paths?: readonly string[]
    }
  | { readonly kind: 'url'; readonly url: string }

export interface Progress {
  readonly stage: string
  readonly done: number
  readonly total: number
}

/** One line of the loader's report. */
export type ReportLine = Pick<ReportEntry, 'level' | 'code' | 'message'>

/** A series among those found, to choose from. */
export interface SeriesChoice {
  readonly seriesUid: string
  readonly label: string
  readonly usable: boolean
}

/** What the page knows about the scan that the worker owns. */
export interface ScanFacts {
  /** File or folder it came from. */
  readonly name: string
  readonly description: string
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly fingerprint: string
  readonly shape: Vec3
  readonly spacingMm: Vec3
  readonly unit: string
  /** Grey values that nearly all voxels lie between: where a picture starts and ends. */
  readonly greyLow: number
  readonly greyHigh: number
  /** Middle of the scan, LPS mm. */
  readonly centre: Vec3
}

export interface OpenResult {
  readonly facts: ScanFacts
  readonly report: readonly ReportLine[]
  readonly series: readonly SeriesChoice[]
}

export interface FrameRequest {
  readonly plan: Plan
  readonly planes: Readonly<Record<string, ImagePlane>>
  /** False: pictures alone. */
  readonly measure: boolean
}

export type FrameImages = Readonly<Record<string, GreyImage>>

export type EngineRequest =
  | {
      readonly op: 'open'
      readonly id: number
      readonly source: ScanSource
      readonly assetsBaseUrl: string
      readonly seriesUid?: string
    }
  | ({ readonly op: 'frame'; readonly id: number } & FrameRequest)
  | { readonly op: 'prepare'; readonly id: number }
  | { readonly op: 'surface'; readonly id: number; readonly plan: Plan }
  | { readonly op: 'abort'; readonly id: number }

export interface EngineFault {
  readonly name: string
  readonly code: string
  readonly message: string
  readonly report: readonly ReportLine[]
  readonly series: readonly SeriesChoice[]
}

export type EngineReply =
  | { readonly kind: 'progress'; readonly id: number; readonly progress: Progress }
  | { readonly kind: 'images'; readonly id: number; readonly images: FrameImages }
  | { readonly kind: 'done'; readonly id: number; readonly result: unknown }
  | { readonly kind: 'failed'; readonly id: number; readonly fault: EngineFault }

/** What a frame measured; null when it was not asked to, or the scan is not prepared yet. */
export type FrameResult = Assessment | null
