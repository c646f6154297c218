import { type LoadedScan, loadScan } from '@alveometer/scan'
import { inputsFromPath, nodeDecoder } from '@alveometer/scan/node'
import { type CommandLine, optional, required } from './command-line.js'

/** The scan named by --scan (and --series). Warnings and blocks go to stderr. */
export async function openScan(line: CommandLine): Promise<LoadedScan> {
  const seriesUid = optional(line, 'series')
  const scan = await loadScan(await inputsFromPath(required(line, 'scan')), {
    decoder: nodeDecoder(),
    ...(seriesUid === undefined ? {} : { seriesUid }),
  })
  for (const { level, message } of scan.report) if (level !== 'note') console.error(`${level}: ${message}`)
  return scan
}
