import { column } from '@alveometer/core'
import { answered, type GeometryAnswers, openQuestions, stackGeometry } from '../geometry/index.js'
import { checkRescale } from '../grey/index.js'
import {
  checkPatients,
  dropDuplicates,
  findInterleaved,
  groupSeries,
  type SeriesGroup,
} from '../grouping/index.js'
import { checkImages, checkValues, type HeaderResult, readHeader } from '../headers/index.js'
import { expandZips, type ScanInput } from '../inputs/index.js'
import { FindingError, type ReportEntry } from '../report/index.js'
import { describeOrder } from './order.js'
import { checkDamaged, describeOthers } from './others.js'
import { inParallel } from './parallel.js'
import type { ProgressOptions } from './progress.js'
import { filesOf, type SurveyedSeries, seriesUidOf } from './series.js'
import { judgeVolumeFile } from './volume-file.js'

export interface Survey {
  readonly series: readonly SurveyedSeries[]
  /** What concerns the whole pick. */
  readonly report: readonly ReportEntry[]
  readonly fileCount: number
}

export interface SurveyOptions extends ProgressOptions {
  /** Geometry that a person confirmed, for series that lack it. */
  readonly answers?: GeometryAnswers
}

const FILES_AT_ONCE = 8

/** Reads the headers of everything in the pick and judges every series. No pixel is decoded. */
export async function survey(inputs: readonly ScanInput[], options: SurveyOptions): Promise<Survey> {
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
  const of = (kind: HeaderResult['kind']) => files.filter((_, i) => results[i]?.kind === kind)
  const volumes: SurveyedSeries[] = []
  for (const file of of('volume-file')) {
    const volume = await judgeVolumeFile(file, files, report, options.answers, signal)
    if (volume) volumes.push(volume)
  }
  const used = new Set(volumes.flatMap(filesOf))
  const unused = (kind: HeaderResult['kind']) => of(kind).filter((f) => !used.has(f.name))
  const images = new Set(headers.map((h) => h.sopInstanceUid))
  report.push(...(await describeOthers(unused, files, images, signal)), ...checkPatients(headers))
  const unpackable = files.filter((_, i) => results[i] === null)
  const misnamed = of('not-dicom').filter((f) => /\.(dcm|dicom)$/i.test(f.name))
  const damaged = [...of('empty'), ...of('unreadable'), ...misnamed, ...unpackable].map((f) => f.name)
  const judged: Omit<SurveyedSeries, 'id'>[] = []
  for (const group of groupSeries(headers)) judged.push(await judge(group, damaged, options))
  return { series: [...markInterleaved(identified(judged)), ...volumes], report, fileCount: files.length }
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

/** A series that holds several volumes gives each a name of its own to be chosen by. */
function identified(series: readonly Omit<SurveyedSeries, 'id'>[]): SurveyedSeries[] {
  const seen = new Map<string, number>()
  return series.map((s) => {
    const uid = seriesUidOf({ ...s, id: '' })
    const n = (seen.get(uid) ?? 0) + 1
    seen.set(uid, n)
    return { ...s, id: n === 1 ? uid : `${uid}#${n}` }
  })
}

function markInterleaved(series: readonly SurveyedSeries[]): SurveyedSeries[] {
  const halves = series.flatMap(({ id, box }) => {
    if (!box) return []
    const { shape, indexToWorld } = box
    return [{ seriesUid: id, shape, step: column(indexToWorld, 2), origin: column(indexToWorld, 3) }]
  })
  const found = findInterleaved(halves)
  return series.map((s) => {
    const finding = found.get(s.id)
    return finding ? { ...s, report: [...s.report, { ...finding, seriesUid: seriesUidOf(s) }] } : s
  })
}

async function judge(
  group: SeriesGroup,
  damaged: readonly string[],
  { signal, answers }: SurveyOptions,
): Promise<Omit<SurveyedSeries, 'id'>> {
  const { headers: found, report: repeats } = await dropDuplicates(group.headers, signal)
  const images = checkImages(found)
  const report = [...group.report, ...repeats, ...images, ...checkValues(found)]
  const image = !images.some((r) => r.code === 'not-a-density-image')
  const { headers, confirmed, report: contradicted } = answered(found, answers ?? {})
  const stack = image ? stackGeometry(headers) : { geometry: null, report: [] }
  const { geometry } = stack
  if (image)
    report.push(...contradicted, ...stack.report, ...checkRescale(headers), ...checkDamaged(headers, damaged))
  if (geometry) report.push(...describeOrder(geometry, confirmed))
  return {
    source: { kind: 'slices', headers, geometry },
    box: geometry,
    localizer: group.localizer,
    questions: image ? openQuestions(found) : [],
    confirmed: geometry && confirmed,
    report: report.map((r) => ({ ...r, seriesUid: found[0]?.seriesUid ?? '' })),
  }
}
