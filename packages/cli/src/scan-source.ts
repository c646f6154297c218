import {
  type GeometryAnswers,
  type IndexBox,
  type LoadedScan,
  loadScan,
  type PixelOptions,
} from '@alveometer/scan'
import { inputsFromPath, nodeDecoder, nodeVolumeFileReader } from '@alveometer/scan/node'
import { readAnswers } from './answers.js'
import { type CommandLine, optional, required, UsageError } from './command-line.js'

/** The scan named by --scan (and --series). Warnings and blocks go to stderr. */
export async function openScan(line: CommandLine): Promise<LoadedScan> {
  const seriesUid = optional(line, 'series')
  const options = await readingOptions(line)
  const scan = await loadScan(await inputsFromPath(required(line, 'scan')), {
    ...options,
    ...(seriesUid === undefined ? {} : { seriesUid }),
  })
  for (const { level, message } of scan.report) if (level !== 'note') console.error(`${level}: ${message}`)
  return scan
}

export interface ReadingOptions extends PixelOptions {
  readonly answers?: GeometryAnswers
  readonly half?: boolean
  readonly region?: IndexBox
}

/** How a scan is to be read: decoders, --answers, --half and --region. */
export async function readingOptions(line: CommandLine): Promise<ReadingOptions> {
  const region = optional(line, 'region')
  const answers = optional(line, 'answers')
  return {
    decoder: nodeDecoder(),
    volumeFileReader: nodeVolumeFileReader(),
    ...(line.options.half === true ? { half: true } : {}),
    ...(region === undefined ? {} : { region: indexBox(region) }),
    ...(answers === undefined ? {} : { answers: await readAnswers(answers) }),
  }
}

function indexBox(text: string): IndexBox {
  const numbers = text.split(',').map((n) => (n.trim() === '' ? Number.NaN : Number(n)))
  if (numbers.length !== 6 || !numbers.every((n) => Number.isInteger(n) && n >= 0))
    throw new UsageError(
      `--region: "${text}" is not i0,j0,k0,i1,j1,k1: the first voxel along columns, rows and slices, and the first beyond`,
    )
  const [i0, j0, k0, i1, j1, k1] = numbers as [number, number, number, number, number, number]
  return { from: [i0, j0, k0], to: [i1, j1, k1] }
}
