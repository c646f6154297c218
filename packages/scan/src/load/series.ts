import type { ConfirmedGeometry, Mat4, Vec3 } from '@alveometer/core'
import type { OpenQuestion, StackGeometry } from '../geometry/index.js'
import { bytesPerVoxel } from '../grey/index.js'
import type { SliceHeader } from '../headers/index.js'
import type { ReportEntry } from '../report/index.js'
import type { VolumeFileHeader } from '../volume-files/index.js'

/** Where the voxels of a series come from: slices of DICOM files, or a file that is a whole volume. */
export type SeriesSource =
  | {
      readonly kind: 'slices'
      readonly headers: readonly SliceHeader[]
      readonly geometry: StackGeometry | null
    }
  | { readonly kind: 'volume-file'; readonly header: VolumeFileHeader }

/** A box of voxels in patient space. */
export interface VolumeBox {
  readonly shape: Vec3
  readonly spacingMm: Vec3
  readonly indexToWorld: Mat4
}

/** One series after all header checks. `box` is null when it does not make a volume. */
export interface SurveyedSeries {
  /** To choose it by: the Series Instance UID, with a number behind where it holds several volumes; or a file name. */
  readonly id: string
  readonly source: SeriesSource
  readonly box: VolumeBox | null
  readonly localizer: boolean
  /** What a person has to confirm before it can be measured. */
  readonly questions: readonly OpenQuestion[]
  /** What of its geometry a person confirmed. */
  readonly confirmed: ConfirmedGeometry | null
  readonly report: readonly ReportEntry[]
}

export const isUsable = ({ box, report }: SurveyedSeries): boolean =>
  box !== null && !report.some((r) => r.level === 'block')

export const headersOf = ({ source }: SurveyedSeries): readonly SliceHeader[] =>
  source.kind === 'slices' ? source.headers : []

/** Of a file that is no DICOM, its own name stands for the series it does not belong to. */
export const seriesUidOf = ({ source }: SurveyedSeries): string =>
  source.kind === 'slices' ? (source.headers[0]?.seriesUid ?? '') : source.header.file

export const filesOf = (series: SurveyedSeries): string[] =>
  series.source.kind === 'slices'
    ? [...new Set(series.source.headers.map((h) => h.file))]
    : series.source.header.parts.map((part) => part.name)

/** Columns, rows and slices, also of what makes no volume. */
export function shapeOf({ box, source }: SurveyedSeries): Vec3 {
  if (box) return box.shape
  if (source.kind === 'volume-file') return source.header.shape
  const layout = source.headers[0]?.layout
  return [layout?.columns ?? 0, layout?.rows ?? 0, source.headers.length]
}

export const voxelBytesOf = ({ source }: SurveyedSeries): number =>
  source.kind === 'slices'
    ? bytesPerVoxel(source.headers)
    : Math.min(4, Math.max(2, source.header.voxelBytes))
