import { missingFiles, readDicomdir } from '../dicomdir/index.js'
import type { ScanInput } from '../inputs/index.js'
import { block, count, nameFiles, note, type ReportEntry, warn } from '../report/index.js'

/** The index of the largest disc is a few megabytes; more is not an index. */
const LARGEST_INDEX_BYTES = 64 * 2 ** 20

/**
 * What the index of a disc tells of the pick: files that it lists and that are not there. A slice missing at an end of
 * a stack leaves no other trace.
 * @param images SOP Instance UIDs of the images that were read, under whatever names.
 */
export async function checkIndexes(
  indexes: readonly ScanInput[],
  files: readonly ScanInput[],
  images: ReadonlySet<string>,
  signal?: AbortSignal,
): Promise<ReportEntry[]> {
  if (indexes.length === 0) return []
  const names = indexes.map((f) => f.name)
  if (images.size === 0) {
    const message = `${names[0]} is only the index of a disc. Choose the whole folder it lies in, with the images.`
    return [block('dicomdir-alone', message, names)]
  }
  const report: ReportEntry[] = [
    note('dicomdir-checked', 'DICOMDIR is an index; the images beside it were read themselves.', names),
  ]
  const picked = files.map((f) => f.name)
  for (const index of indexes) {
    if (index.size > LARGEST_INDEX_BYTES) continue
    const dicomdir = readDicomdir(await index.read(0, index.size, signal))
    if (!dicomdir) continue
    const open = dicomdir.files.filter(
      (f) => f.recordType === 'IMAGE' && !(f.sopInstanceUid && images.has(f.sopInstanceUid)),
    )
    const missing = missingFiles({ files: open }, index.name, picked)
    if (missing.length === 0) continue
    const message = `${index.name} lists ${count(missing.length, 'image')} that ${missing.length === 1 ? 'is' : 'are'} not in the pick: ${nameFiles(missing)}. Choose the whole disc, or check that none of them is a slice of this scan.`
    report.push(warn('images-not-in-pick', message, missing, { missingImages: missing.length }))
  }
  return report
}
