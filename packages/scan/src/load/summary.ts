import { type GreyUnit, toRows, type Vec3 } from '@alveometer/core'
import { greyUnit } from '../grey/index.js'
import type { ReportEntry } from '../report/index.js'
import type { SurveyedSeries } from './survey.js'

/** What a series is, as plain JSON. No patient data. */
export interface SeriesSummary {
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
  /** False when the report blocks it. */
  readonly usable: boolean
  readonly report: readonly ReportEntry[]
}

export const isUsable = ({ geometry, report }: SurveyedSeries): boolean =>
  geometry !== null && !report.some((r) => r.level === 'block')

export function summarize(series: SurveyedSeries): SeriesSummary {
  const { headers, geometry, localizer, report } = series
  const [first] = headers
  const usable = isUsable(series)
  return {
    seriesUid: first?.seriesUid ?? '',
    studyUid: first?.studyUid ?? '',
    frameOfReferenceUid: first?.frameOfReferenceUid ?? '',
    modality: first?.modality ?? '',
    description: first?.seriesDescription ?? '',
    localizer,
    shape: geometry?.shape ?? [first?.layout.columns ?? 0, first?.layout.rows ?? 0, headers.length],
    spacingMm: geometry && usable ? geometry.spacingMm : null,
    indexToWorld: geometry && usable ? toRows(geometry.indexToWorld) : null,
    grey: { unit: greyUnit(headers), minimum: null, maximum: null },
    usable,
    report,
  }
}
