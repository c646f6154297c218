import { toWorld, type Volume } from '@alveometer/core'
import { inspectScan, loadScan, type ScanInput } from '@alveometer/scan'
import { decoderAt } from './decoder.js'
import { greyRange } from './grey-range.js'
import type { PickOptions } from './pick.js'
import type { OpenRequest, OpenResult, PickContents, ScanFacts } from './protocol.js'

export interface OpenOptions extends PickOptions, OpenRequest {
  /** Where the decoders of compressed pixels lie, an absolute address. */
  readonly assetsBaseUrl: string
}

/** Small pictures to choose by, pixels along their longer side. */
const thumbnailSize = 192

/** What is in a pick, with small pictures and the persons they are of. */
export async function inspectPick(
  inputs: readonly ScanInput[],
  name: string,
  { assetsBaseUrl, ...options }: PickOptions & { readonly assetsBaseUrl: string },
): Promise<PickContents> {
  const found = await inspectScan(inputs, {
    ...decoderAt(assetsBaseUrl),
    ...options,
    thumbnails: thumbnailSize,
    persons: true,
  })
  return { ...found, name }
}

/**
 * Loads a scan into this thread.
 * @throws ScanError of the loader.
 */
export async function openScan(
  inputs: readonly ScanInput[],
  name: string,
  { assetsBaseUrl, ...options }: OpenOptions,
): Promise<{ volume: Volume; result: OpenResult }> {
  const { volume, report, series } = await loadScan(inputs, { ...decoderAt(assetsBaseUrl), ...options })
  return { volume, result: { facts: factsOf(volume, name, series.description), report } }
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
    ...greyRange(volume.data, volume.noData),
    centre: toWorld(volume.indexToWorld, middle),
    remarks: volume.remarks,
    ...(volume.confirmed ? { confirmed: volume.confirmed } : {}),
  }
}
