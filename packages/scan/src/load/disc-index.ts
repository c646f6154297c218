import type { ScanInput } from '../inputs/index.js'
import { block, note, type ReportEntry } from '../report/index.js'

/** What the index of a disc tells of the pick: whether files that it lists are not there. */
export async function checkIndexes(
  indexes: readonly ScanInput[],
  _files: readonly ScanInput[],
  anyImages: boolean,
  _signal?: AbortSignal,
): Promise<ReportEntry[]> {
  if (indexes.length === 0) return []
  const names = indexes.map((f) => f.name)
  if (!anyImages) {
    const message = `${names[0]} is only the index of a disc. Choose the whole folder it lies in, with the images.`
    return [block('dicomdir-alone', message, names)]
  }
  return [note('dicomdir-checked', 'DICOMDIR is an index; the images beside it were read themselves.', names)]
}
