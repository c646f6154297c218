import type {
  Assessment,
  ConfirmedGeometry,
  ImagePlane,
  ImportedMesh,
  Mesh,
  Plan,
  ScanRemark,
  Vec3,
} from '@alveometer/core'
import type {
  GeometryAnswers,
  OpenQuestion,
  Reduction,
  ReportEntry,
  ScanInspection,
  SizeOffer,
} from '@alveometer/scan'
import type { GreyImage } from '../drawing/grey.js'
import type { AdoptRequest } from './adopt-crown.js'
import type { CrownFile } from './crown-meshes.js'
import type { ChartRequest, CloudRequest, WaysRequest } from './explore-requests.js'
import type { GraftSurfacesRequest } from './graft-surfaces.js'

/** Where a scan comes from: files of the user, or an address of this origin. */
export type ScanSource =
  | {
      readonly kind: 'files'
      readonly files: readonly File[]
      /** Names with their folders, one a file: a dropped folder's files do not know theirs. */
      readonly paths?: readonly string[]
    }
  | { readonly kind: 'url'; readonly url: string }

/** `fetch` counts bytes, `headers` files, `pixels` slices; the others are stages of calibration. */
export interface Progress {
  readonly stage: string
  readonly done: number
  readonly total: number
}

/** One line of the loader's report. */
export type ReportLine = Pick<ReportEntry, 'level' | 'code' | 'message'>

/** Everything in a pick, to choose from: with small pictures and the persons they are of. */
export interface PickContents extends ScanInspection {
  /** File or folder it came from. */
  readonly name: string
}

/** How a series is to be loaded. */
export interface OpenRequest extends Reduction {
  /** Its `id`; needed when the pick holds more than one usable series. */
  readonly seriesUid?: string
  readonly answers?: GeometryAnswers
  readonly budgetBytes?: number
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
  /** What travels with every plan and number of this scan. */
  readonly remarks: readonly ScanRemark[]
  /** Absent when the file gave all of its geometry. */
  readonly confirmed?: ConfirmedGeometry
}

export interface OpenResult {
  readonly facts: ScanFacts
  readonly report: readonly ReportLine[]
}

/** A scan whose geometry is open, as the worker shows it: pictures without a millimetre or a side. */
export interface PreviewFacts {
  /** Columns, rows, slices. */
  readonly shape: Vec3
  /** Sizes of a voxel relative to each other as far as the file gives them: to draw by. */
  readonly aspect: Vec3
  readonly questions: readonly OpenQuestion[]
  /** LPS directions of rising column and row index where the file gives them; null where they are open too. */
  readonly sides: { readonly row: Vec3; readonly column: Vec3 } | null
  /** LPS direction in which the slices are counted, where their positions tell; null where it is open. */
  readonly counting: Vec3 | null
  readonly greyLow: number
  readonly greyHigh: number
}

/** The index axis a preview picture stands across: 2 shows a slice, 1 columns and slices, 0 rows and slices. */
export type Across = 0 | 1 | 2

export interface FrameRequest {
  readonly plan: Plan
  readonly planes: Readonly<Record<string, ImagePlane>>
  /** False: pictures alone. */
  readonly measure: boolean
}

/** A disc to read the grey of. */
export interface ProbeRequest {
  /** LPS mm. */
  readonly centre: Vec3
  /** Unit directions in its plane, LPS. */
  readonly right: Vec3
  readonly down: Vec3
  readonly diameterMm: number
}

export interface ProbeResult {
  /** In the scan's own unit. */
  readonly mean: number
  /** Of the grey within the disc. */
  readonly sd: number
}

export type FrameImages = Readonly<Record<string, GreyImage>>

interface PickRequest {
  readonly id: number
  readonly source: ScanSource
  /** Where the decoders of compressed pixels lie, an absolute address. */
  readonly assetsBaseUrl: string
}

export type EngineRequest =
  | ({ readonly op: 'inspect' } & PickRequest)
  | ({ readonly op: 'preview'; readonly seriesUid: string } & PickRequest)
  | { readonly op: 'preview-image'; readonly id: number; readonly across: Across; readonly index: number }
  | { readonly op: 'close-preview'; readonly id: number }
  | ({ readonly op: 'open' } & PickRequest & OpenRequest)
  | ({ readonly op: 'frame'; readonly id: number } & FrameRequest)
  /** The refined numbers of a plan, step by step; messages are answered between two of them. */
  | { readonly op: 'refine'; readonly id: number; readonly plan: Plan }
  | ({ readonly op: 'probe'; readonly id: number } & ProbeRequest)
  | { readonly op: 'prepare'; readonly id: number }
  | { readonly op: 'surface'; readonly id: number; readonly plan: Plan }
  | ({ readonly op: 'graft-meshes'; readonly id: number } & GraftSurfacesRequest)
  /** Coarser results come before the last one, as parts. */
  | ({ readonly op: 'chart'; readonly id: number } & ChartRequest)
  | ({ readonly op: 'ways'; readonly id: number } & WaysRequest)
  | ({ readonly op: 'cloud'; readonly id: number } & CloudRequest)
  /** Pictures that stand by themselves. */
  | {
      readonly op: 'pictures'
      readonly id: number
      readonly planes: Readonly<Record<string, ImagePlane>>
    }
  | { readonly op: 'ping'; readonly id: number }
  /** Some of the files of the request of that number, which follows and lists none. */
  | { readonly op: 'files'; readonly id: number; readonly files: readonly File[] }
  | { readonly op: 'read-crown'; readonly id: number; readonly name: string; readonly bytes: Uint8Array }
  | ({ readonly op: 'adopt-crown'; readonly id: number } & AdoptRequest)
  /** A crown mesh as its file holds it, kept for every plan that names it; not answered. */
  | { readonly op: 'crown'; readonly of: CrownFile; readonly mesh: Mesh }
  | { readonly op: 'abort'; readonly id: number }

/** A crown's mesh file read and put in order. */
export interface CrownRead {
  readonly imported: ImportedMesh
  readonly fingerprint: string
}

export interface EngineFault {
  readonly name: string
  /** Of the loader's errors theirs; `plan`, `memory`, `engine` or the error's name for others. */
  readonly code: string
  readonly message: string
  readonly report: readonly ReportLine[]
  /** What of a scan that is too large would fit. */
  readonly offer?: SizeOffer
}

export type EngineReply =
  | { readonly kind: 'progress'; readonly id: number; readonly progress: Progress }
  | { readonly kind: 'images'; readonly id: number; readonly images: FrameImages }
  /** A first, coarser result. */
  | { readonly kind: 'part'; readonly id: number; readonly result: unknown }
  | { readonly kind: 'done'; readonly id: number; readonly result: unknown }
  | { readonly kind: 'failed'; readonly id: number; readonly fault: EngineFault }

/** What a frame measured; null when it was not asked to, or the scan is not prepared yet. */
export type FrameResult = Assessment | null
