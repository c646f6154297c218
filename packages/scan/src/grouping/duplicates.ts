import type { SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { block, count, nameFiles, note, type ReportEntry } from '../report/index.js'

/**
 * Drops images whose SOP Instance UID was seen before if their pixels are equal, and refuses them if not.
 * Reads the pixels of repeats only.
 */
export async function dropDuplicates(
  headers: readonly SliceHeader[],
  signal?: AbortSignal,
): Promise<{ headers: readonly SliceHeader[]; report: readonly ReportEntry[] }> {
  const kept = new Map<string, SliceHeader[]>()
  const unnamed: SliceHeader[] = []
  const dropped: string[] = []
  const report: ReportEntry[] = []
  for (const slices of filesOf(headers)) {
    const { sopInstanceUid: uid, file } = slices[0] as SliceHeader
    const first = kept.get(uid)
    if (uid === '') unnamed.push(...slices)
    else if (!first) kept.set(uid, slices)
    else if (await sameImages(first, slices, signal)) dropped.push(file)
    else {
      const pair = [(first[0] as SliceHeader).file, file]
      const message = `${pair[0]} and ${file} claim to be the same image but differ. Remove the wrong one.`
      report.push(block('same-uid-other-pixels', message, pair))
    }
  }
  if (dropped.length > 0)
    report.push(
      note(
        'duplicate-dropped',
        `${count(dropped.length, 'repeated file')} dropped: ${nameFiles(dropped)}.`,
        dropped,
      ),
    )
  return { headers: [...[...kept.values()].flat(), ...unnamed], report }
}

/** The slices of each file together; names alone would not do, two folders may hold the same. */
function filesOf(headers: readonly SliceHeader[]): SliceHeader[][] {
  const bySource = new Map<ScanInput, SliceHeader[]>()
  for (const header of headers) {
    const slices = bySource.get(header.source)
    if (slices) slices.push(header)
    else bySource.set(header.source, [header])
  }
  return [...bySource.values()]
}

async function sameImages(
  a: readonly SliceHeader[],
  b: readonly SliceHeader[],
  signal?: AbortSignal,
): Promise<boolean> {
  const [first, second] = [a[0], b[0]]
  if (!first?.pixels || !second?.pixels || a.length !== b.length) return false
  if (a.some((slice, n) => meaning(slice) !== meaning(b[n] as SliceHeader))) return false
  const [one, two] = await Promise.all([pixelBytes(first, signal), pixelBytes(second, signal)])
  return one.length === two.length && one.every((byte, i) => byte === two[i])
}

/** What the pixels mean: place and rescale. */
const meaning = ({ layout, position, rescaleSlope, rescaleIntercept }: SliceHeader) =>
  JSON.stringify([layout, position, rescaleSlope, rescaleIntercept])

const pixelBytes = ({ source, pixels }: SliceHeader, signal?: AbortSignal) => {
  const start = pixels?.offset ?? 0
  return source.read(start, pixels?.length == null ? source.size : start + pixels.length, signal)
}
