import type { SliceHeader } from '../headers/index.js'
import { block, count, nameFiles, note, type ReportEntry } from '../report/index.js'

/**
 * Drops images whose SOP Instance UID was seen before if their pixels are equal, and refuses them if not.
 * Reads the pixels of repeats only.
 */
export async function dropDuplicates(
  headers: readonly SliceHeader[],
  signal?: AbortSignal,
): Promise<{ headers: readonly SliceHeader[]; report: readonly ReportEntry[] }> {
  const kept = new Map<string, SliceHeader>()
  const unnamed: SliceHeader[] = []
  const dropped: string[] = []
  const report: ReportEntry[] = []
  for (const header of headers) {
    const first = kept.get(header.sopInstanceUid)
    if (header.sopInstanceUid === '') unnamed.push(header)
    else if (!first) kept.set(header.sopInstanceUid, header)
    else if (await sameImage(first, header, signal)) dropped.push(header.file)
    else
      report.push(
        block(
          'same-uid-other-pixels',
          `${first.file} and ${header.file} claim to be the same image but differ. Remove the wrong one.`,
          [first.file, header.file],
        ),
      )
  }
  if (dropped.length > 0)
    report.push(
      note(
        'duplicate-dropped',
        `${count(dropped.length, 'repeated file')} dropped: ${nameFiles(dropped)}.`,
        dropped,
      ),
    )
  return { headers: [...kept.values(), ...unnamed], report }
}

async function sameImage(a: SliceHeader, b: SliceHeader, signal?: AbortSignal): Promise<boolean> {
  if (!a.pixels || !b.pixels || String(a.position) !== String(b.position)) return false
  if (JSON.stringify(a.layout) !== JSON.stringify(b.layout)) return false
  if (a.rescaleSlope !== b.rescaleSlope || a.rescaleIntercept !== b.rescaleIntercept) return false
  const [one, two] = await Promise.all([pixelBytes(a, signal), pixelBytes(b, signal)])
  return one.length === two.length && one.every((byte, i) => byte === two[i])
}

const pixelBytes = ({ source, pixels }: SliceHeader, signal?: AbortSignal) => {
  const start = pixels?.offset ?? 0
  return source.read(start, pixels?.length == null ? source.size : start + pixels.length, signal)
}
