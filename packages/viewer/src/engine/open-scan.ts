import { toWorld, type Volume } from '@alveometer/core'
import { inputsFromFiles, inspectScan, isScanError, loadScan, type ScanInput } from '@alveometer/scan'
import { decoderAt } from './decoder.js'
import { ChoiceError } from './fault.js'
import type { OpenResult, Progress, ScanFacts, ScanSource, SeriesChoice } from './protocol.js'

export interface OpenOptions {
  /** Where the decoders of compressed pixels lie, an absolute address. */
  readonly assetsBaseUrl: string
  readonly seriesUid?: string
  readonly signal: AbortSignal
  readonly onProgress: (progress: Progress) => void
}

/**
 * Loads a scan into this thread.
 * @throws ScanError of the loader; ChoiceError with the series to choose from where there are several.
 */
export async function openScan(
  source: ScanSource,
  options: OpenOptions,
): Promise<{ volume: Volume; result: OpenResult }> {
  const { inputs, name } = await inputsOf(source, options)
  try {
    const { volume, report, series } = await loadScan(inputs, {
      ...decoderAt(options.assetsBaseUrl),
      ...options,
    })
    const facts = factsOf(volume, name, series.description)
    return { volume, result: { facts, report, series: [] } }
  } catch (error) {
    if (!isScanError(error, 'series-ambiguous')) throw error
    throw new ChoiceError(error, await choices(inputs, options.signal))
  }
}

async function inputsOf(
  source: ScanSource,
  options: OpenOptions,
): Promise<{ inputs: ScanInput[]; name: string }> {
  if (source.kind === 'files') {
    const inputs = inputsFromFiles(source.files).map((input, n) => {
      const path = source.paths?.[n]
      return path === undefined ? input : { ...input, name: path }
    })
    const first = inputs[0]?.name ?? ''
    return {
      inputs,
      name:
        inputs.length === 1 || first.includes('/') ? (first.split('/')[0] ?? '') : `${inputs.length} files`,
    }
  }
  options.onProgress({ stage: 'fetch', done: 0, total: 1 })
  const response = await fetch(source.url, { signal: options.signal })
  const name = source.url.split('/').pop() ?? source.url
  if (!response.ok)
    throw new Error(`${name} could not be fetched (${response.status}): open a scan of your own instead.`)
  const file = new File([await response.blob()], name)
  return { inputs: inputsFromFiles([file]), name }
}

async function choices(inputs: readonly ScanInput[], signal: AbortSignal): Promise<SeriesChoice[]> {
  const { series } = await inspectScan(inputs, { signal })
  return series.map(({ seriesUid, description, modality, shape, usable }) => ({
    seriesUid,
    label: `${description || modality}, ${shape.join(' × ')} voxels`,
    usable,
  }))
}

function factsOf(volume: Volume, name: string, description: string): ScanFacts {
  const middle = volume.shape.map((n) => (n - 1) / 2) as unknown as [number, number, number]
  return {
    name,
    description,
    ...volume.identity,
    shape: volume.shape,
    spacingMm: volume.spacingMm,
    unit: volume.grey.unit,
    ...greyRange(volume),
    centre: toWorld(volume.indexToWorld, middle),
  }
}

/**
 * From the 2nd to the 98.5th percentile of some hundred thousand voxels, evenly spread, less the darkest tenth: air and
 * enamel may saturate, what lies between should not.
 */
function greyRange({ data, grey, noData }: Volume): { greyLow: number; greyHigh: number } {
  const step = Math.max(1, Math.floor(data.length / 200_003))
  const some: number[] = []
  for (let n = 0; n < data.length; n += step) if (data[n] !== noData) some.push(data[n] as number)
  some.sort((a, b) => a - b)
  const at = (share: number): number => some[Math.floor(share * (some.length - 1))] ?? grey.minimum
  const low = at(0.02)
  const high = at(0.985)
  return { greyLow: Math.round(low + 0.1 * (high - low)), greyHigh: Math.round(high) }
}
