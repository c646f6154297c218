import { readFrames } from '../decode/index.js'
import { greyOf, rescaleOf } from '../grey/index.js'
import type { SliceHeader } from '../headers/index.js'
import { FindingError } from '../report/index.js'
import type { PixelOptions } from './pixels.js'

/** A small picture of one slice: 8 bit grey, row by row. */
export interface Thumbnail {
  readonly width: number
  readonly height: number
  readonly pixels: Uint8Array
}

/** The middle slice, as it lies in the file, `size` pixels along its longer side. Null when it cannot be decoded. */
export async function thumbnailOf(
  headers: readonly SliceHeader[],
  size: number,
  { decoder, signal }: PixelOptions,
): Promise<Thumbnail | null> {
  const header = headers[headers.length >> 1]
  if (
    !header?.pixels ||
    header.layout.samplesPerPixel !== 1 ||
    header.layout.rows * header.layout.columns < 4
  )
    return null
  const { rows, columns } = header.layout
  const grey = new Float32Array(rows * columns)
  try {
    for await (const frame of readFrames([header], decoder, signal))
      greyOf(frame, header, rescaleOf(header), grey)
  } catch (error) {
    if (error instanceof FindingError) return null
    throw error
  }
  const [rowSpacing, columnSpacing] = header.pixelSpacingMm ?? [1, 1]
  const scale = size / Math.max(columns * columnSpacing, rows * rowSpacing)
  const width = Math.max(1, Math.round(columns * columnSpacing * scale))
  const height = Math.max(1, Math.round(rows * rowSpacing * scale))
  return { width, height, pixels: shrink(grey, columns, rows, width, height) }
}

/** Nearest pixels, the darkest and brightest hundredth saturated, no data black. */
function shrink(
  grey: Float32Array,
  columns: number,
  rows: number,
  width: number,
  height: number,
): Uint8Array {
  const at = (x: number, y: number) =>
    grey[
      Math.floor(((y + 0.5) * rows) / height) * columns + Math.floor(((x + 0.5) * columns) / width)
    ] as number
  const picked = Float32Array.from({ length: width * height }, (_, n) => at(n % width, Math.floor(n / width)))
  const sorted = picked.filter((v) => !Number.isNaN(v)).sort()
  const low = sorted[Math.floor(0.01 * sorted.length)] ?? 0
  const high = sorted[Math.floor(0.99 * (sorted.length - 1))] ?? 1
  return Uint8Array.from(picked, (v) =>
    Number.isNaN(v) ? 0 : Math.round(255 * Math.min(1, Math.max(0, (v - low) / (high - low || 1)))),
  )
}
