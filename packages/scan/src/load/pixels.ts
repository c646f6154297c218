import { createVolume, type Vec3, type Volume } from '@alveometer/core'
import { type Decoder, readFrames } from '../decode/index.js'
import type { SlicePlacement, StackGeometry } from '../geometry/index.js'
import { findOutsideField, greyOf, greyUnit, type OutsideField, rescaleOf, Voxels } from '../grey/index.js'
import type { SliceHeader } from '../headers/index.js'
import { block, FindingError, note, type ReportEntry } from '../report/index.js'
import type { VolumeFileReader } from '../volume-files/index.js'
import { canReadInPlace, framesInPlace } from './in-place.js'
import { PlaneWriter } from './planes.js'
import type { ProgressOptions } from './progress.js'
import { describeReduction, isWhole, type LoadedBox, loadedBox, type Reduction } from './reduction.js'
import { selfCheck } from './self-check.js'

export interface PixelOptions extends ProgressOptions {
  /** For compressed DICOM files. */
  readonly decoder?: Decoder
  /** For NRRD, NIfTI and MetaImage files. */
  readonly volumeFileReader?: VolumeFileReader
}

/** Voxels of a stack and what was found while they were read. */
export interface StackVoxels {
  readonly voxels: Voxels
  readonly box: LoadedBox
  readonly noData: boolean
  readonly report: readonly ReportEntry[]
}

/**
 * Decodes the slices of a checked stack into one array of grey values.
 * @throws FindingError naming the file that could not be read; ScanError `bad-region`; the signal's reason when aborted.
 */
export async function readVolume(
  geometry: StackGeometry,
  options: PixelOptions & Reduction,
): Promise<{ readonly volume: Volume; readonly report: readonly ReportEntry[] }> {
  const { voxels, box, noData, report } = await readVoxels(geometry, options)
  const headers = geometry.slices.map((s) => s.header)
  const range = voxels.range
  const volume = createVolume({
    data: voxels.data,
    shape: box.shape,
    indexToWorld: box.indexToWorld,
    unit: greyUnit(headers),
    ...(noData ? { noData: voxels.noData } : {}),
    ...(range ? { range } : {}),
    identity: {
      seriesUid: headers[0]?.seriesUid ?? '',
      frameOfReferenceUid: headers[0]?.frameOfReferenceUid ?? '',
    },
  })
  return { volume, report }
}

/** As `readVolume`, before it is a volume with millimetres. */
export async function readVoxels(
  geometry: StackGeometry,
  options: PixelOptions & Reduction,
): Promise<StackVoxels> {
  const box = loadedBox(geometry, options)
  const whole = !geometry.resampled && isWhole(box, geometry.shape)
  const [low, high] = [box.region.from[2], box.region.to[2]]
  const slices = geometry.slices.filter(({ k }) => k >= low && k < high)
  const voxels = allocate(geometry, box.shape)
  const read = whole
    ? await readWhole(slices, geometry, voxels, options)
    : await readParts(slices, geometry, box, voxels, options)
  const report = [...describeReduction(box, geometry.shape, geometry.spacingMm), ...read.report]
  const blanked = blankMissing(slices, box, voxels)
  return { voxels, box, noData: read.noData || blanked, report }
}

interface Read {
  readonly noData: boolean
  readonly report: readonly ReportEntry[]
}

/** Straight into their places. */
async function readWhole(
  slices: readonly SlicePlacement[],
  { shape, spacingMm }: StackGeometry,
  voxels: Voxels,
  options: PixelOptions,
): Promise<Read> {
  const perSlice = shape[0] * shape[1]
  let padded = 0
  const put: FrameUse = (frame, { header, k }) => {
    padded += voxels.put(k * perSlice, perSlice, (out, noData) =>
      greyOf(frame, header, rescaleOf(header), out, noData),
    )
  }
  const inPlace = canReadInPlace(
    slices.map((s) => s.header),
    voxels,
  )
  const found: ReportEntry[] = []
  if (inPlace) await eachInPlace(slices, voxels, options, put)
  else await eachFrame(slices, options, put, found)
  await selfCheck(slices, { data: voxels.data, noData: voxels.noData, perSlice }, options.signal)
  // Where padding is declared, the field is known; otherwise its surroundings may hold one constant value.
  const planes = slices.map(({ k }) => k)
  const outside = padded === 0 ? findOutsideField(voxels.data, shape, spacingMm, planes) : null
  if (outside) voxels.clear(outside.mask, shape[2])
  return {
    noData: padded > 0 || outside !== null,
    report: [...found, ...emptyParts(padded, perSlice * slices.length, outside)],
  }
}

/** Moved, cut or averaged on their way. */
async function readParts(
  slices: readonly SlicePlacement[],
  geometry: StackGeometry,
  box: LoadedBox,
  voxels: Voxels,
  options: PixelOptions,
): Promise<Read> {
  const [columns, rows] = geometry.sliceShape
  const outside = await sampleField(geometry, options)
  const writer = new PlaneWriter((offset, plane) => voxels.putValues(offset, plane), geometry.sliceShape, box)
  const values = new Float32Array(columns * rows)
  let padded = 0
  const put: FrameUse = (frame, { header, k, shift }) => {
    const found = greyOf(frame, header, rescaleOf(header), values, Number.NaN)
    if (found !== 'not looked at') padded += found.padded
    if (outside) for (let p = 0; p < values.length; p++) if (outside.mask[p]) values[p] = Number.NaN
    writer.put(k, shift, values)
  }
  const found: ReportEntry[] = []
  await eachFrame(slices, options, put, found)
  const noData = padded > 0 || outside !== null || geometry.resampled
  return { noData, report: [...found, ...emptyParts(padded, values.length * slices.length, outside)] }
}

type FrameUse = (frame: Parameters<typeof greyOf>[0], slice: SlicePlacement) => void

async function eachFrame(
  slices: readonly SlicePlacement[],
  { decoder, signal, onProgress }: PixelOptions,
  use: FrameUse,
  report: ReportEntry[],
): Promise<void> {
  const headers = slices.map((s) => s.header)
  let n = 0
  for await (const frame of readFrames(headers, decoder, signal, report)) {
    use(frame, slices[n] as SlicePlacement)
    n++
    onProgress?.({ stage: 'pixels', done: n, total: headers.length })
  }
  signal?.throwIfAborted()
}

async function eachInPlace(
  slices: readonly SlicePlacement[],
  voxels: Voxels,
  { signal, onProgress }: PixelOptions,
  use: FrameUse,
): Promise<void> {
  let done = 0
  for await (const frame of framesInPlace(slices, voxels, signal)) {
    use(frame, slices[done] as SlicePlacement)
    done++
    onProgress?.({ stage: 'pixels', done, total: slices.length })
  }
}

/** So many whole slices show what lies outside a round field as well as all of them. */
const SAMPLED_SLICES = 12

/** The surroundings of the field, from a few whole slices: once moved or cut they can no longer be told. */
async function sampleField(
  { slices, sliceShape, spacingMm }: StackGeometry,
  { decoder, signal }: PixelOptions,
): Promise<OutsideField | null> {
  if (slices.some(({ header }) => header.padding !== null)) return null
  const step = Math.max(1, (slices.length - 1) / (SAMPLED_SLICES - 1))
  const picked = [...new Set(slices.map((_, n) => Math.round(n * step)))].filter((n) => n < slices.length)
  const headers = picked.map((n) => (slices[n] as SlicePlacement).header)
  const perSlice = sliceShape[0] * sliceShape[1]
  const voxels = new Voxels(headers, perSlice * headers.length)
  let n = 0
  for await (const frame of readFrames(headers, decoder, signal)) {
    const header = headers[n] as SliceHeader
    voxels.put(n * perSlice, perSlice, (out, noData) => greyOf(frame, header, rescaleOf(header), out, noData))
    n++
  }
  const shape: Vec3 = [...sliceShape, headers.length]
  return findOutsideField(
    voxels.data,
    shape,
    spacingMm,
    headers.map((_, k) => k),
  )
}

function emptyParts(padded: number, of: number, outside: OutsideField | null): ReportEntry[] {
  if (padded > 0) {
    const percent = (100 * padded) / of
    const message = `${percent.toFixed(1)} % of the voxels are padding and count as "no data".`
    return [note('padding', message, [], { sharePercent: Number(percent.toFixed(1)) })]
  }
  if (!outside) return []
  const radiusMm = Number(outside.radiusMm.toFixed(1))
  const message = `All voxels beyond ${radiusMm} mm from the middle hold exactly ${outside.value} in every slice: never reconstructed, counted as "no data".`
  return [note('constant-outside-field', message, [], { radiusMm, value: outside.value })]
}

/** Planes that no slice fills become no data. True when there are any. */
function blankMissing(
  slices: readonly SlicePlacement[],
  { region, shape, half }: LoadedBox,
  voxels: Voxels,
): boolean {
  const filled = new Set(slices.map(({ k }) => k - region.from[2]))
  const perSlice = shape[0] * shape[1]
  let any = false
  for (let k = 0; k < shape[2]; k++) {
    if (half ? filled.has(2 * k) && filled.has(2 * k + 1) : filled.has(k)) continue
    voxels.blank(k * perSlice, perSlice)
    any = true
  }
  return any
}

/** More voxels than this do not fit one array of numbers in every browser. */
const MOST_VOXELS = 2 ** 30

/** @throws FindingError `too-large` with the size in plain numbers. */
function allocate({ slices }: StackGeometry, shape: Vec3): Voxels {
  const count = shape[0] * shape[1] * shape[2]
  const tooLarge = (cause?: unknown) => {
    const megabytes = Math.round((2 * count) / 2 ** 20)
    const message = `The scan needs at least ${megabytes} MB for ${shape.join(' x ')} voxels, more than there is room for. Load it at half resolution or only a part of it.`
    return new FindingError(block('too-large', message), cause)
  }
  if (count > MOST_VOXELS) throw tooLarge()
  try {
    return new Voxels(
      slices.map((s) => s.header),
      count,
    )
  } catch (cause) {
    if (cause instanceof RangeError) throw tooLarge(cause)
    throw cause
  }
}
