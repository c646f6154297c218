import { createVolume, type Volume } from '@alveometer/core'
import { type Decoder, readFrames } from '../decode/index.js'
import type { StackGeometry } from '../geometry/index.js'
import { findOutsideField, greyOf, greyUnit, rescaleOf, Voxels } from '../grey/index.js'
import type { SliceHeader } from '../headers/index.js'
import { block, FindingError, note, type ReportEntry } from '../report/index.js'
import type { ProgressOptions } from './progress.js'

export interface PixelOptions extends ProgressOptions {
  readonly decoder?: Decoder
}

/**
 * Decodes the slices of a checked stack into one array of grey values.
 * @throws FindingError naming the file that could not be read; the signal's reason when aborted.
 */
export async function readVolume(
  geometry: StackGeometry,
  options: PixelOptions,
): Promise<{ readonly volume: Volume; readonly report: readonly ReportEntry[] }> {
  const { headers, shape, indexToWorld } = geometry
  const { signal, onProgress, decoder } = options
  const perSlice = shape[0] * shape[1]
  const voxels = allocate(headers, perSlice, shape[2])
  let padded = 0
  let k = 0
  for await (const frame of readFrames(headers, decoder, signal)) {
    const header = headers[k] as SliceHeader
    padded += voxels.put(k * perSlice, perSlice, (out, noData) =>
      greyOf(frame, header, rescaleOf(header), out, noData),
    )
    k++
    onProgress?.({ stage: 'pixels', done: k, total: headers.length })
  }
  signal?.throwIfAborted()
  const report: ReportEntry[] = []
  if (padded > 0) {
    const percent = ((100 * padded) / (perSlice * shape[2])).toFixed(1)
    report.push(note('padding', `${percent} % of the voxels are padding and count as "no data".`))
  }
  // Where padding is declared, the field is known; otherwise its surroundings may hold one constant value.
  const outside = padded === 0 ? findOutsideField(voxels.data, shape, geometry.spacingMm) : null
  if (outside) {
    padded = voxels.clear(outside.mask, shape[2])
    const radius = outside.radiusMm.toFixed(1)
    report.push(
      note(
        'constant-outside-field',
        `All voxels beyond ${radius} mm from the middle hold exactly ${outside.value} in every slice: never reconstructed, counted as "no data".`,
      ),
    )
  }
  const [first] = headers
  const volume = createVolume({
    data: voxels.data,
    shape,
    indexToWorld,
    unit: greyUnit(headers),
    ...(padded > 0 ? { noData: voxels.noData } : {}),
    identity: {
      seriesUid: first?.seriesUid ?? '',
      frameOfReferenceUid: first?.frameOfReferenceUid ?? '',
    },
  })
  return { volume, report }
}

/** More voxels than this do not fit one array of numbers in every browser. */
const MOST_VOXELS = 2 ** 30

/** @throws FindingError `too-large` with the size in plain numbers. */
function allocate(headers: readonly SliceHeader[], perSlice: number, slices: number) {
  const tooLarge = (cause?: unknown) => {
    const megabytes = Math.round((2 * perSlice * slices) / 2 ** 20)
    const message = `The scan needs at least ${megabytes} MB for ${slices} slices of ${perSlice} voxels, more than there is room for. Export a smaller field or larger voxels.`
    return new FindingError(block('too-large', message), cause)
  }
  if (perSlice * slices > MOST_VOXELS) throw tooLarge()
  try {
    return new Voxels(headers, perSlice * slices)
  } catch (cause) {
    if (cause instanceof RangeError) throw tooLarge(cause)
    throw cause
  }
}
