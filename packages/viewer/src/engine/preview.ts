import type { Vec3 } from '@alveometer/core'
import { previewScan, type ScanInput, type ScanPreview } from '@alveometer/scan'
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
  const preview = await previewScan(inputs, { ...decoderAt(assetsBaseUrl), ...options })
  const { shape, aspect, questions, data, noData } = preview
  const { row, column, slice } = preview.sides
  const given = { sides: row && column ? { row, column } : null, counting: slice }
  return { preview, facts: { shape, aspect, questions, ...given, ...greyRange(data, noData) } }
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
