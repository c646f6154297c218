import { column } from '@alveometer/core'
import { type StackGeometry, stackGeometry } from '../geometry/index.js'
import { checkRescale } from '../grey/index.js'
import {
  checkPatients,
  dropDuplicates,
  findInterleaved,
  groupSeries,
  type SeriesGroup,
} from '../grouping/index.js'
import {
  checkImages,
  checkValues,
  type HeaderResult,
  readHeader,
  type SliceHeader,
} from '../headers/index.js'
import { expandZips, type ScanInput } from '../inputs/index.js'
import { FindingError, type ReportEntry } from '../report/index.js'
import { checkDamaged, describeOthers } from './others.js'
import { inParallel } from './parallel.js'
import type { ProgressOptions } from './progress.js'

/** One series after all header checks. `geometry` is null when the slices do not make a volume. */
export interface SurveyedSeries {
  readonly headers: readonly SliceHeader[]
  readonly localizer: boolean
  readonly geometry: StackGeometry | null
  readonly report: readonly ReportEntry[]
}

export interface Survey {
  readonly series: readonly SurveyedSeries[]
  /** What concerns the whole pick. */
  readonly report: readonly ReportEntry[]
  readonly fileCount: number
}

const FILES_AT_ONCE = 8

/** Reads the headers of everything in the pick and judges every series. No pixel is decoded. */
export async function survey(inputs: readonly ScanInput[], options: ProgressOptions): Promise<Survey> {
  const { signal, onProgress } = options
  signal?.throwIfAborted()
  const report: ReportEntry[] = []
  const files = await expandZips(inputs, report, signal)
  let done = 0
  const results = await inParallel(files, FILES_AT_ONCE, async (file) => {
    signal?.throwIfAborted()
    const result = await readOne(file, report, signal)
    done++
    onProgress?.({ stage: 'headers', done, total: files.length })
    return result
  })
  const headers = results.flatMap((r) => (r?.kind === 'image' ? r.slices : []))
  const of = (kind: HeaderResult['kind']) =>
    files.filter((_, i) => results[i]?.kind === kind).map((f) => f.name)
  report.push(...describeOthers(of), ...checkPatients(headers))
  const unpackable = files.filter((_, i) => results[i] === null).map((f) => f.name)
  const damaged = [...of('empty'), ...of('unreadable'), ...unpackable]
  const series: SurveyedSeries[] = []
  for (const group of groupSeries(headers)) series.push(await judge(group, damaged, signal))
  return { series: markInterleaved(series), report, fileCount: files.length }
}

async function readOne(
  file: ScanInput,
  report: ReportEntry[],
  signal?: AbortSignal,
): Promise<HeaderResult | null> {
  try {
    return await readHeader(file, signal)
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    report.push(error.finding)
    return null
  }
}

function markInterleaved(series: readonly SurveyedSeries[]): SurveyedSeries[] {
  const halves = series.flatMap(({ headers, geometry }) => {
    const seriesUid = headers[0]?.seriesUid
    if (!geometry || !seriesUid) return []
    const { shape, indexToWorld } = geometry
    return [{ seriesUid, shape, step: column(indexToWorld, 2), origin: column(indexToWorld, 3) }]
  })
  const found = findInterleaved(halves)
  return series.map((s) => {
    const seriesUid = s.headers[0]?.seriesUid ?? ''
    const finding = found.get(seriesUid)
    return finding ? { ...s, report: [...s.report, { ...finding, seriesUid }] } : s
  })
}

async function judge(
  group: SeriesGroup,
  damaged: readonly string[],
  signal?: AbortSignal,
): Promise<SurveyedSeries> {
  const { headers, report: repeats } = await dropDuplicates(group.headers, signal)
  const images = checkImages(headers)
  const report = [...group.report, ...repeats, ...images, ...checkValues(headers)]
  let geometry: StackGeometry | null = null
  if (!images.some((r) => r.code === 'not-a-density-image')) {
    const stack = stackGeometry(headers)
    geometry = stack.geometry
    report.push(...stack.report, ...checkRescale(headers), ...checkDamaged(headers, damaged))
  }
  const seriesUid = headers[0]?.seriesUid ?? ''
  return { headers, localizer: group.localizer, geometry, report: report.map((r) => ({ ...r, seriesUid })) }
}
