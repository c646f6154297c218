import { FindingError, type ReportEntry } from '../report/index.js'
import type { ScanInput } from './input.js'
import { inputsFromZip, isZip } from './zip.js'

/** A zip in a zip in a zip happens by accident; more is a trap. */
const DEEPEST_ZIP = 3

/** Every input, with zips (told by content, not by name) replaced by what is in them. */
export async function expandZips(
  inputs: readonly ScanInput[],
  report: ReportEntry[],
  signal?: AbortSignal,
  depth = 0,
): Promise<ScanInput[]> {
  const expanded: ScanInput[] = []
  for (const input of inputs) {
    signal?.throwIfAborted()
    try {
      // Inside a zip only names are looked at, so that not every entry is unpacked twice.
      const candidate = depth === 0 || /\.zip$/i.test(input.name)
      if (candidate && depth < DEEPEST_ZIP && input.size >= 22 && isZip(await input.read(0, 4, signal)))
        expanded.push(...(await expandZips(await inputsFromZip(input, signal), report, signal, depth + 1)))
      else expanded.push(input)
    } catch (error) {
      if (!(error instanceof FindingError)) throw error
      report.push(error.finding)
    }
  }
  return expanded
}
