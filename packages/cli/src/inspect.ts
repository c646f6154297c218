import { inspectScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { type CommandLine, optional, UsageError } from './command-line.js'
import { readingOptions } from './scan-source.js'

/**
 * Every series of a path with its geometry and grey range, and the load report. Only the grey range depends on --half
 * and --region.
 */
export async function inspect(line: CommandLine): Promise<unknown> {
  const [path] = line.paths
  if (path === undefined) throw new UsageError('inspect needs a file, folder or zip; see alveometer --help')
  const options = { ...(await readingOptions(line)), greyRange: true }
  const found = await inspectScan(await inputsFromPath(path), options)
  const wanted = optional(line, 'series')
  return {
    series: found.series
      .filter(({ seriesUid }) => wanted === undefined || seriesUid === wanted)
      .map(({ report: _, ...series }) => series),
    report: found.report,
  }
}
