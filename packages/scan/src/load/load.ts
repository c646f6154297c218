import type { Volume } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'
import { block, FindingError, note, type ReportEntry, remarksOf, ScanError, warn } from '../report/index.js'
import { blocked, choose, nameSeries } from './choose.js'
import type { PixelOptions } from './pixels.js'
import { readSeries } from './read-series.js'
import { loadedBox, type Reduction } from './reduction.js'
import { filesOf, type SurveyedSeries, shapeOf, type VolumeBox, voxelBytesOf } from './series.js'
import { type SeriesSummary, summarize } from './summary.js'
import { type Survey, type SurveyOptions, survey } from './survey.js'

export interface LoadOptions extends PixelOptions, SurveyOptions, Reduction {
  /** Needed when the pick holds more than one usable series: its `id` or Series Instance UID. */
  readonly seriesUid?: string
  /** The most bytes the volume may take; above it, `too-large` with what would fit. No limit when absent. */
  readonly budgetBytes?: number
}

export interface LoadedScan {
  readonly volume: Volume
  readonly series: SeriesSummary
  readonly report: readonly ReportEntry[]
}

/**
 * One series as a volume in LPS millimetres, grey values rescaled slice by slice.
 * @throws ScanError when there is no usable series, more than one, or the chosen one must not be measured.
 *   An aborted load rejects with the signal's reason (an AbortError).
 */
export async function loadScan(inputs: readonly ScanInput[], options: LoadOptions = {}): Promise<LoadedScan> {
  const found = await survey(inputs, options)
  const chosen = choose(found, options.seriesUid)
  const headerReport = [...found.report, ...chosen.report, ...describeRest(found, chosen)]
  const { box, confirmed } = chosen
  if (!box) throw blocked(headerReport)
  checkBudget(box, voxelBytesOf(chosen), options, headerReport)
  try {
    const { volume: bare, report: pixels } = await readSeries(chosen, options)
    const report = [...headerReport, ...pixels]
    const volume = { ...bare, remarks: remarksOf(report), ...(confirmed ? { confirmed } : {}) }
    return { volume, series: { ...summarize(chosen), grey: volume.grey }, report }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    throw blocked([...headerReport, error.finding], error)
  }
}

/** @throws ScanError `too-large` with what would fit, before a voxel is read. */
function checkBudget(
  box: VolumeBox,
  each: number,
  { half, region, budgetBytes = Number.POSITIVE_INFINITY }: LoadOptions,
  report: readonly ReportEntry[],
): void {
  const sizeOf = (reduction: Reduction) => {
    const { shape, spacingMm } = loadedBox(box, reduction)
    return { bytes: each * shape[0] * shape[1] * shape[2], shape, spacingMm }
  }
  const part = region ? { region } : {}
  const { bytes, shape, spacingMm } = sizeOf({ ...part, ...(half ? { half } : {}) })
  if (bytes <= budgetBytes) return
  const smaller = half ? null : sizeOf({ ...part, half: true })
  const offer = {
    neededBytes: bytes,
    budgetBytes,
    shape,
    spacingMm,
    half: smaller && smaller.bytes <= budgetBytes ? smaller : null,
  }
  const megabytes = (n: number) => `${Math.ceil(n / 2 ** 20)} MB`
  const remedy = offer.half ? 'Load it at half resolution or only a part of it.' : 'Load only a part of it.'
  const message = `The scan needs ${megabytes(bytes)} for ${shape.join(' x ')} voxels, and ${megabytes(budgetBytes)} are allowed. ${remedy}`
  throw new ScanError('too-large', message, [...report, block('too-large', message)], undefined, offer)
}

/** The other series of the pick, so that a wrong choice is noticed. */
function describeRest(found: Survey, chosen: SurveyedSeries): ReportEntry[] {
  return found.series
    .filter((s) => s !== chosen)
    .map((s) => {
      const why = s.report.find((r) => r.level === 'block')?.message
      const files = filesOf(s)
      if (why && shapeOf(s)[2] > shapeOf(chosen)[2])
        return warn('larger-series-refused', `A larger series was refused: ${nameSeries(s)}. ${why}`, files)
      return note('other-series', `Not loaded: ${nameSeries(s)}.${why ? ` ${why}` : ''}`, files)
    })
}
