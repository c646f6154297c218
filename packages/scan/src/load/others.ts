import type { HeaderResult, SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { block, count, nameFiles, note, type ReportEntry, warn } from '../report/index.js'
import { checkIndexes } from './disc-index.js'

/** What was in the pick besides images. `of` gives the files of one kind. */
export async function describeOthers(
  of: (kind: HeaderResult['kind']) => readonly ScanInput[],
  files: readonly ScanInput[],
  images: ReadonlySet<string>,
  signal?: AbortSignal,
): Promise<ReportEntry[]> {
  const names = (kind: HeaderResult['kind']) => of(kind).map((f) => f.name)
  const report: ReportEntry[] = []
  const unreadable = names('unreadable')
  if (unreadable.length > 0) {
    const message = `${nameFiles(unreadable)}: a DICOM file whose header is damaged or cut short. Copy it again from the source.`
    report.push(warn('header-unreadable', message, unreadable))
  }
  const empty = names('empty')
  if (empty.length > 0)
    report.push(
      warn('file-empty', `${nameFiles(empty)}: no bytes in it. Copy it again from the source.`, empty),
    )
  report.push(...(await checkIndexes(of('dicomdir'), files, images, signal)))
  const noImage = names('no-image')
  if (noImage.length > 0)
    report.push(note('no-image', `${count(noImage.length, 'DICOM file')} without an image skipped.`, noImage))
  const other = names('not-dicom')
  if (other.length > 0)
    report.push(note('other-files-ignored', `${count(other.length, 'other file')} ignored.`, other))
  return report
}

/** A damaged file that lies among the slices and is named like them is probably one of them. */
export function checkDamaged(headers: readonly SliceHeader[], damaged: readonly string[]): ReportEntry[] {
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
