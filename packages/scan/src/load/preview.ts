import { cross, fromFrame, normalize, type Vec3, type VoxelArray } from '@alveometer/core'
import {
  answered,
  type GeometryAnswers,
  type KnownSides,
  knownSides,
  type OpenQuestion,
  stackGeometry,
} from '../geometry/index.js'
import type { SliceHeader } from '../headers/index.js'
import type { ScanInput } from '../inputs/index.js'
import { FindingError } from '../report/index.js'
import type { VolumeFileHeader } from '../volume-files/index.js'
import { blocked, choose } from './choose.js'
import { type PixelOptions, readVoxels } from './pixels.js'
import type { SurveyedSeries } from './series.js'
import { survey } from './survey.js'
import { readVolumeFile, sidesOf } from './volume-file.js'

/** A stack to look at while its geometry is open: voxels in their order, without a millimetre or a side. */
export interface ScanPreview {
  /** Columns, rows, slices. */
  readonly shape: Vec3
  /** x fastest; slices in the order of the file, or of their positions where it gives them. */
  readonly data: VoxelArray
  readonly noData?: number
  /** Sizes of a voxel relative to each other as far as the file gives them, 1 where it does not: to draw by, not to measure. */
  readonly aspect: Vec3
  readonly questions: readonly OpenQuestion[]
  /** What the file does say of the sides; null where a person has to. */
  readonly sides: KnownSides
}

export interface PreviewOptions extends PixelOptions {
  /** The `id` or Series Instance UID of the series; needed where the pick holds several that are open. */
  readonly seriesUid?: string
}

/**
 * The voxels of a series whose geometry a person has to confirm (`questions` in its summary), to confirm it by.
 * @throws ScanError when there is no such series, or something else is wrong with it.
 */
export async function previewScan(
  inputs: readonly ScanInput[],
  options: PreviewOptions = {},
): Promise<ScanPreview> {
  const found = await survey(inputs, options)
  const series = choose(found, options.seriesUid, (s) => s.questions.length > 0)
  const { source } = series
  if (source.kind === 'volume-file') return previewFile(source.header, series, options)
  const { headers } = answered(source.headers, placeholders(source.headers))
  const { geometry, report } = stackGeometry(headers)
  if (!geometry) throw blocked([...found.report, ...report])
  try {
    const { voxels, noData } = await readVoxels({ ...geometry, resampled: false }, options)
    const open = new Set(series.questions.map((q) => q.ask))
    const [x, y, z] = geometry.spacingMm
    return {
      shape: geometry.shape,
      data: voxels.data,
      ...(noData ? { noData: voxels.noData } : {}),
      aspect: [
        open.has('pixel-spacing') ? 1 : x,
        open.has('pixel-spacing') ? 1 : y,
        open.has('slice-step') ? 1 : z,
      ],
      questions: series.questions,
      sides: knownSides(source.headers),
    }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    throw blocked([...found.report, ...series.report, error.finding], error)
  }
}

async function previewFile(
  header: VolumeFileHeader,
  { questions, report }: SurveyedSeries,
  options: PreviewOptions,
): Promise<ScanPreview> {
  const spacingMm: Vec3 = header.spacingMm ?? [1, 1, 1]
  const box = {
    shape: header.shape,
    spacingMm,
    indexToWorld: fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0]),
  }
  try {
    const { volume } = await readVolumeFile(header, box, options)
    const { data, shape, noData } = volume
    return {
      shape,
      data,
      ...(noData === undefined ? {} : { noData }),
      aspect: spacingMm,
      questions,
      sides: sidesOf(header),
    }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    throw blocked([...report, error.finding], error)
  }
}

/** Anything that puts the slices in order and the file does not contradict; nothing of it leaves the preview. */
function placeholders(headers: readonly SliceHeader[]): GeometryAnswers {
  const known = knownSides(headers)
  const { row, column } = known
  const slice = known.slice ?? (row && column ? cross(row, column) : ([0, 0, 1] as const))
  const beside: Vec3 = Math.abs(slice[0]) < 0.7 ? [1, 0, 0] : [0, 1, 0]
  const across = normalize(cross(slice, beside))
  const orientation = { row: row ?? cross(across, slice), column: column ?? across, slice }
  return { pixelSpacingMm: [1, 1], sliceStepMm: 1, orientation }
}
