import { column, fromRows, length, normalize, subtract, type Vec3 } from '@alveometer/core'
import {
  type GeometryAnswers,
  inspectScan,
  previewScan,
  type ScanInput,
  type ScanPreview,
} from '@alveometer/scan'
import type { GreyImage } from '../drawing/grey.js'
import { decoderAt } from './decoder.js'
import { greyRange } from './grey-range.js'
import type { PickOptions } from './pick.js'
import type { Across, PreviewFacts } from './protocol.js'

export interface PreviewOptions extends PickOptions {
  readonly assetsBaseUrl: string
  readonly seriesUid: string
}

/** The voxels of a scan whose geometry is open, and what of them the page may know. */
export async function openPreview(
  inputs: readonly ScanInput[],
  { assetsBaseUrl, ...options }: PreviewOptions,
): Promise<{ preview: ScanPreview; facts: PreviewFacts }> {
  const given = await sidesInFile(inputs, options)
  const preview = await previewScan(inputs, { ...decoderAt(assetsBaseUrl), ...options })
  const { shape, aspect, questions, data, noData } = preview
  return { preview, facts: { shape, aspect, questions, ...given, ...greyRange(data, noData) } }
}

/** Three directions at right angles that no scanner lays its slices by, more than 45 degrees from every axis. */
const probe = {
  row: [2 / 3, 1 / 3, 2 / 3],
  column: [-2 / 3, 2 / 3, 1 / 3],
  slice: [-1 / 3, -2 / 3, 2 / 3],
} as const
const PROBE: GeometryAnswers = { pixelSpacingMm: [1, 1], sliceStepMm: 1, orientation: probe }

/**
 * Which sides the file gives although it is asked for them. Answers only fill gaps, so what the file knows comes out
 * other than the probe that was put in, or contradicts it.
 */
async function sidesInFile(
  inputs: readonly ScanInput[],
  { seriesUid, signal, onProgress }: Omit<PreviewOptions, 'assetsBaseUrl'>,
): Promise<Pick<PreviewFacts, 'sides' | 'countingOpen'>> {
  const { series } = await inspectScan(inputs, { answers: PROBE, signal, onProgress })
  const probed = series.find(({ id }) => id === seriesUid)
  const stepOpen = probed?.questions.some((q) => q.ask === 'slice-step') ?? false
  if (!probed?.indexToWorld) return { sides: null, countingOpen: stepOpen }
  const toWorld = fromRows(probed.indexToWorld)
  const [row, up] = [normalize(column(toWorld, 0)), normalize(column(toWorld, 2))]
  const isProbe = (given: Vec3, put: Vec3): boolean => length(subtract(given, put)) < 1e-6
  return {
    sides: isProbe(row, probe.row) ? null : { row, column: normalize(column(toWorld, 1)) },
    countingOpen: stepOpen || isProbe(up, probe.slice),
  }
}

/** One picture of a preview, as its voxels lie; NaN where there are none. */
export function previewImage({ shape, data, noData }: ScanPreview, across: Across, index: number): GreyImage {
  const strides: Vec3 = [1, shape[0], shape[0] * shape[1]]
  const [u, v] = across === 2 ? ([0, 1] as const) : across === 1 ? ([0, 2] as const) : ([1, 2] as const)
  const width = shape[u]
  const height = shape[v]
  const pixels = new Float32Array(width * height)
  const start = Math.min(shape[across] - 1, Math.max(0, Math.round(index))) * strides[across]
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const value = data[start + x * strides[u] + y * strides[v]] as number
      pixels[y * width + x] = value === noData ? Number.NaN : value
    }
  return { pixels, width, height }
}
