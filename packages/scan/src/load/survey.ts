import { type StackGeometry, stackGeometry } from '../geometry/index.js'
import { checkRescale } from '../grey/index.js'
import { checkPatients, dropDuplicates, groupSeries, type SeriesGroup } from '../grouping/index.js'
import {
  checkImages,
  checkValues,
  type HeaderResult,
  readHeader,
  type SliceHeader,
} from '../headers/index.js'
import { expandZips, type ScanInput } from '../inputs/index.js'
import { block, count, FindingError, nameFiles, note, type ReportEntry, warn } from '../report/index.js'
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
  const headers = results.flatMap((r) => (r?.kind === 'image' ? [r.header] : []))
  const of = (kind: HeaderResult['kind']) =>
    files.filter((_, i) => results[i]?.kind === kind).map((f) => f.name)
  report.push(...describeOthers(of), ...checkPatients(headers))
  const unpackable = files.filter((_, i) => results[i] === null).map((f) => f.name)
  const damaged = [...of('empty'), ...of('unreadable'), ...unpackable]
  const series: SurveyedSeries[] = []
  for (const group of groupSeries(headers)) series.push(await judge(group, damaged, signal))
  return { series, report, fileCount: files.length }
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

function describeOthers(of: (kind: HeaderResult['kind']) => string[]): ReportEntry[] {
  const report: ReportEntry[] = []
  const unreadable = of('unreadable')
  if (unreadable.length > 0) {
    const message = `${nameFiles(unreadable)}: a DICOM file whose header is damaged or cut short. Copy it again from the source.`
    report.push(warn('header-unreadable', message, unreadable))
  }
  const empty = of('empty')
  if (empty.length > 0)
    report.push(
      warn('file-empty', `${nameFiles(empty)}: no bytes in it. Copy it again from the source.`, empty),
    )
  const index = of('dicomdir')
  if (index.length > 0)
    report.push(
      note('dicomdir-skipped', 'DICOMDIR is an index; the images beside it were read themselves.', index),
    )
  const noImage = of('no-image')
  if (noImage.length > 0)
    report.push(note('no-image', `${count(noImage.length, 'DICOM file')} without an image skipped.`, noImage))
  const other = of('not-dicom')
  if (other.length > 0)
    report.push(note('other-files-ignored', `${count(other.length, 'other file')} ignored.`, other))
  return report
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
  if (!images.some((r) => r.code === 'not-a-density-image' || r.code === 'multi-frame')) {
    const stack = stackGeometry(headers)
    geometry = stack.geometry
    report.push(...stack.report, ...checkRescale(headers), ...checkDamaged(headers, damaged))
  }
  const seriesUid = headers[0]?.seriesUid ?? ''
  return { headers, localizer: group.localizer, geometry, report: report.map((r) => ({ ...r, seriesUid })) }
}

/** A damaged file that lies among the slices and is named like them is probably one of them. */
function checkDamaged(headers: readonly SliceHeader[], damaged: readonly string[]): ReportEntry[] {
  if (headers.length < 2) return []
  const places = new Set(headers.map((h) => placeOf(h.file)))
  const suspects = damaged.filter((name) => places.has(placeOf(name)))
  if (suspects.length === 0) return []
  const message = `${nameFiles(suspects)} cannot be read and may be a slice of this series. Copy the files again, or take it out if it is not.`
  return [block('damaged-among-slices', message, suspects)]
}

function placeOf(name: string): string {
  const slash = name.lastIndexOf('/') + 1
  const file = name.slice(slash)
  const dot = file.lastIndexOf('.')
  return `${name.slice(0, slash)}*${dot < 0 ? '' : file.slice(dot).toLowerCase()}`
}
