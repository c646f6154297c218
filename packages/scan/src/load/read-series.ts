import type { Volume } from '@alveometer/core'
import { block, FindingError, type ReportEntry } from '../report/index.js'
import { type PixelOptions, readVolume } from './pixels.js'
import type { Reduction } from './reduction.js'
import { filesOf, type SurveyedSeries } from './series.js'
import { readVolumeFile } from './volume-file.js'

/**
 * The voxels of a usable series, whatever they come from.
 * @throws FindingError naming the file that could not be read; ScanError `bad-region`; the signal's reason when aborted.
 */
export async function readSeries(
  series: SurveyedSeries,
  options: PixelOptions & Reduction,
): Promise<{ readonly volume: Volume; readonly report: readonly ReportEntry[] }> {
  const { source, box } = series
  if (source.kind === 'slices' && source.geometry) return readVolume(source.geometry, options)
  if (source.kind === 'volume-file' && box) return readVolumeFile(source.header, box, options)
  throw new FindingError(block('not-a-volume', `${filesOf(series)[0]} does not make a volume.`))
}
