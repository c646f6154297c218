import type { VoxelArray } from '@alveometer/core'
import { block, FindingError, isAbort, note, type ReportEntry } from '../report/index.js'
import { blockSizes, type CleanBlock, readBlocks } from './blocks.js'
import { GreyArray } from './grey-array.js'
import type { VolumeFileHeader } from './header.js'
import { CLEAN_NAMES, comparePlaces, type VolumeFileReader, voxelsIn } from './reader.js'

/** The grey values of a volume file. */
export interface VolumeFileData {
  /** In the order of the file, the first axis fastest. */
  readonly data: VoxelArray
  /** The number in `data` for voxels that hold none; absent when every voxel counts. */
  readonly noData?: number
  /** Least and greatest grey value; the least above the greatest where no voxel has one. */
  readonly range: readonly [number, number]
  readonly report: readonly ReportEntry[]
}

/**
 * Decodes the voxels of a judged header, some slices at a time, so that little more than the result is held at once.
 * @param onSlices called with the number of slices done
 * @throws FindingError naming the file that is short or cannot be decoded; the signal's reason when aborted
 */
export async function decodeVolumeFile(
  header: VolumeFileHeader,
  reader: VolumeFileReader,
  signal?: AbortSignal,
  onSlices?: (done: number) => void,
): Promise<VolumeFileData> {
  const { shape, file } = header
  const perSlice = shape[0] * shape[1]
  const greys = allocate(header)
  const report: ReportEntry[] = []
  let done = 0
  for await (const { bytes, slices } of readBlocks(header, blockSizes(header), report, signal)) {
    const { image, voxels } = await orFinding(
      file,
      decodeBlock(header, reader, { bytes, slices }, signal),
      signal,
    )
    if (done === 0) report.push(...comparePlaces(image, header, slices))
    withRoom(file, () => greys.put(voxels, done * perSlice))
    done += slices
    onSlices?.(done)
  }
  const { data, gaps, noData, range } = greys
  if (gaps > 0) report.push(noNumbers(file, gaps, data.length))
  return { data, ...(gaps > 0 ? { noData } : {}), range, report }
}

async function decodeBlock(
  header: VolumeFileHeader,
  reader: VolumeFileReader,
  { bytes, slices }: CleanBlock,
  signal?: AbortSignal,
) {
  const image = await reader.read(header.kind, { path: CLEAN_NAMES[header.kind], data: bytes }, signal)
  signal?.throwIfAborted()
  return { image, voxels: voxelsIn(image, header, slices) }
}

function allocate(header: VolumeFileHeader): GreyArray {
  const { shape, componentType, scale, file } = header
  return withRoom(file, () => new GreyArray(componentType, scale, shape[0] * shape[1] * shape[2]))
}

/** @throws FindingError `too-large` where the work finds no room for its array */
function withRoom<T>(file: string, work: () => T): T {
  try {
    return work()
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause
    const message = `${file} holds more voxels than there is room for. Save a smaller field or larger voxels.`
    throw new FindingError(block('too-large', message, [file]), cause)
  }
}

/** A decoder that never answers (a blocked download) is reported. Busy WebAssembly only ends with its worker. */
const PATIENCE_S = 120

async function orFinding<T>(file: string, work: Promise<T>, signal?: AbortSignal): Promise<T> {
  let timer: ReturnType<typeof setTimeout> | undefined
  const late = new Promise<never>((_, reject) => {
    const tooLate = () => reject(new Error(`no answer from the decoder in ${PATIENCE_S} s`))
    timer = setTimeout(tooLate, 1000 * PATIENCE_S)
  })
  try {
    return await Promise.race([work, late])
  } catch (cause) {
    if (isAbort(cause)) throw cause
    signal?.throwIfAborted()
    const message = `${file}: its voxels cannot be decoded; the file is probably damaged. Export the volume again.`
    throw new FindingError(block('decode-failed', message, [file]), cause)
  } finally {
    clearTimeout(timer)
  }
}

const noNumbers = (file: string, gaps: number, count: number) =>
  note(
    'no-number',
    `${((100 * gaps) / count).toPrecision(2)} % of the voxels of ${file} hold no number and count as "no data".`,
    [file],
    { voxels: gaps, percent: Number(((100 * gaps) / count).toPrecision(3)) },
  )
