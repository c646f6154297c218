import { type GreyUnit, toRows, type Vec3 } from '@alveometer/core'
import type { OpenQuestion } from '../geometry/index.js'
import { greyUnit } from '../grey/index.js'
import { pixelCoding } from '../headers/index.js'
import type { ReportEntry } from '../report/index.js'
import type { Person } from './person.js'
import { headersOf, isUsable, type SurveyedSeries, seriesUidOf, shapeOf, voxelBytesOf } from './series.js'
import type { Thumbnail } from './thumbnail.js'

/** What a series is, as plain JSON. Without `person`, which has to be asked for, no patient data. */
export interface SeriesSummary {
  /** To choose it by: the Series Instance UID, with a number behind where it holds several volumes. */
  readonly id: string
  readonly seriesUid: string
  readonly studyUid: string
  readonly frameOfReferenceUid: string
  readonly modality: string
  readonly description: string
  /** True for scout images (Image Type LOCALIZER). */
  readonly localizer: boolean
  /** Columns, rows, slices. */
  readonly shape: Vec3
  /** Along columns, rows and slices; null when the slices do not make a volume. */
  readonly spacingMm: Vec3 | null
  /** 16 numbers row by row, index to LPS mm; null when the slices do not make a volume. */
  readonly indexToWorld: readonly number[] | null
  /** Minimum and maximum are null until pixels were decoded. */
  readonly grey: { readonly unit: GreyUnit; readonly minimum: number | null; readonly maximum: number | null }
  readonly memory: MemoryEstimate
  /** False when the report blocks it. */
  readonly usable: boolean
  /** What a person could confirm to make it usable; empty when nothing of its geometry is open. */
  readonly questions: readonly OpenQuestion[]
  readonly report: readonly ReportEntry[]
  readonly thumbnail?: Thumbnail
  readonly person?: Person
}

/** Bytes, from the headers alone. */
export interface MemoryEstimate {
  /** The volume itself. */
  readonly volumeBytes: number
  /** The most that is in use while it loads. */
  readonly peakBytes: number
}

/** Slices on their way, headers, code: measured, see docs/benchmarks.md. */
const AROUND_BYTES = 100e6
/** Each decoder for compressed pixels brings its own memory. */
const DECODERS_BYTES = 300e6

export function summarize(series: SurveyedSeries): SeriesSummary {
  const { id, box, localizer, report, questions } = series
  const headers = headersOf(series)
  const [first] = headers
  const usable = isUsable(series)
  return {
    id,
    seriesUid: seriesUidOf(series),
    studyUid: first?.studyUid ?? '',
    frameOfReferenceUid: first?.frameOfReferenceUid ?? '',
    modality: first?.modality ?? '',
    description: first?.seriesDescription ?? '',
    localizer,
    shape: shapeOf(series),
    spacingMm: box && usable ? box.spacingMm : null,
    indexToWorld: box && usable ? toRows(box.indexToWorld) : null,
    grey: { unit: greyUnit(headers), minimum: null, maximum: null },
    memory: memoryOf(series),
    usable,
    questions,
    report,
  }
}

function memoryOf(series: SurveyedSeries): MemoryEstimate {
  const [columns, rows, slices] = shapeOf(series)
  const volumeBytes = columns * rows * slices * voxelBytesOf(series)
  const packed = headersOf(series).some((h) => pixelCoding(h.transferSyntaxUid) === 'codec')
  const decoded = packed || series.source.kind === 'volume-file'
  return { volumeBytes, peakBytes: volumeBytes + AROUND_BYTES + (decoded ? DECODERS_BYTES : 0) }
}
