import { createVolume, type Volume, type VoxelArray } from '@alveometer/core'
import {
  answersTo,
  type GeometryAnswers,
  type KnownSides,
  type OpenQuestion,
  problemOf,
} from '../geometry/index.js'
import type { ScanInput } from '../inputs/index.js'
import { block, FindingError, type ReportEntry } from '../report/index.js'
import {
  decodeVolumeFile,
  placeVolumeFile,
  readVolumeHeader,
  type VolumeFileHeader,
} from '../volume-files/index.js'
import { confirmation } from './order.js'
import type { PixelOptions } from './pixels.js'
import { PlaneWriter } from './planes.js'
import { describeReduction, isWhole, loadedBox, type Reduction } from './reduction.js'
import type { SurveyedSeries } from './series.js'

/** Judges a file that is a whole volume; null when even its header cannot be used (then said in `report`). */
export async function judgeVolumeFile(
  input: ScanInput,
  siblings: readonly ScanInput[],
  report: ReportEntry[],
  answers?: GeometryAnswers,
  signal?: AbortSignal,
): Promise<SurveyedSeries | null> {
  try {
    const header = await readVolumeHeader(input, siblings, signal)
    return judge(header, answers)
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    report.push(error.finding)
    return null
  }
}

function judge(header: VolumeFileHeader, answers: GeometryAnswers = {}): SurveyedSeries {
  const used = answersTo(header.questions, answers)
  const problem = problemOf(used, sidesOf(header))
  const placed = problem === null ? placeVolumeFile(header, used) : null
  const contradicted = problem === null ? [] : [block('answers-contradict', `${header.file}: ${problem}`)]
  const confirmed = placed && header.questions.length > 0 ? used : null
  const open = placed ? [] : header.questions.map((ask): ReportEntry => missing(header.file, ask))
  return {
    id: header.file,
    source: { kind: 'volume-file', header },
    box: placed && { ...placed, shape: header.shape },
    localizer: false,
    questions: header.questions.map((ask): OpenQuestion => ({ ask })),
    confirmed,
    report: [...header.report, ...contradicted, ...open, ...confirmation(confirmed)].map((r) => ({
      ...r,
      seriesUid: header.file,
    })),
  }
}

/** The directions that a volume file gives; all or none. */
export function sidesOf({ directions }: VolumeFileHeader): KnownSides {
  const [row, column, slice] = directions ?? [null, null, null]
  return { row, column, slice }
}

const MISSING = {
  'pixel-spacing': ['spacing-missing', 'no size of its voxels'],
  'slice-step': ['slice-step-missing', 'no distance of its slices'],
  orientation: ['orientation-missing', 'no sides of the patient'],
} as const

function missing(file: string, ask: keyof typeof MISSING): ReportEntry {
  const [code, what] = MISSING[ask]
  return block(code, `${file} gives ${what}, so nothing can be measured. Save it again with its geometry.`, [
    file,
  ])
}

/**
 * Decodes a volume file.
 * @throws FindingError naming the file; ScanError `bad-region`; the signal's reason when aborted
 */
export async function readVolumeFile(
  header: VolumeFileHeader,
  whole: NonNullable<SurveyedSeries['box']>,
  options: PixelOptions & Reduction,
): Promise<{ readonly volume: Volume; readonly report: readonly ReportEntry[] }> {
  const box = loadedBox(whole, options)
  const { volumeFileReader, signal, onProgress } = options
  if (!volumeFileReader) throw new FindingError(noReader(header.file))
  const total = header.shape[2]
  const onSlices = (done: number) => onProgress?.({ stage: 'pixels', done, total })
  const { data, noData, range, report } = await decodeVolumeFile(header, volumeFileReader, signal, onSlices)
  const reduced = isWhole(box, whole.shape) ? null : reduce(data, header.shape, noData, box)
  const volume = createVolume({
    data: reduced?.data ?? data,
    shape: box.shape,
    indexToWorld: box.indexToWorld,
    unit: 'grey value',
    ...(noData === undefined ? {} : { noData }),
    ...(reduced ? {} : { range }),
    identity: { seriesUid: '', frameOfReferenceUid: '' },
  })
  return { volume, report: [...describeReduction(box, whole.shape, whole.spacingMm), ...report] }
}

function reduce(
  data: VoxelArray,
  [columns, rows, slices]: readonly [number, number, number],
  noData: number | undefined,
  box: ReturnType<typeof loadedBox>,
): { readonly data: VoxelArray } {
  const perSlice = columns * rows
  const out = data.slice(0, box.shape[0] * box.shape[1] * box.shape[2])
  const floating = out instanceof Float32Array
  const empty = noData ?? Number.NaN
  const writer = new PlaneWriter(
    (offset, values) => {
      for (let n = 0; n < values.length; n++) {
        const value = values[n] as number
        out[offset + n] = Number.isNaN(value) ? empty : floating ? value : Math.round(value)
      }
    },
    [columns, rows],
    box,
  )
  const plane = new Float32Array(perSlice)
  for (let k = box.region.from[2]; k < Math.min(slices, box.region.to[2]); k++) {
    plane.set(data.subarray(k * perSlice, (k + 1) * perSlice))
    if (noData !== undefined)
      for (let n = 0; n < perSlice; n++) if (plane[n] === noData) plane[n] = Number.NaN
    writer.put(k, [0, 0], plane)
  }
  return { data: out }
}

const noReader = (file: string) =>
  block(
    'no-decoder',
    `${file} needs a reader of volume files and none is at hand. Save it as DICOM slices.`,
    [file],
  )
