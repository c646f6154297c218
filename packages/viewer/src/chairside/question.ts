import type { SeriesSummary, SizeOffer } from '@alveometer/scan'
import type { PickContents, PreviewFacts } from '../engine/protocol.js'

/** What has to be asked before a scan can be opened. */
export type Question =
  | { readonly kind: 'series'; readonly contents: PickContents }
  | {
      readonly kind: 'geometry'
      readonly series: SeriesSummary
      readonly preview: PreviewFacts
      /** Why the answers before were refused. */
      readonly problem: string
    }
  | { readonly kind: 'size'; readonly series: SeriesSummary; readonly offer: SizeOffer }

export const voxels = ({ shape }: SeriesSummary): number => shape[0] * shape[1] * shape[2]

/** The person is not needed once the scan was chosen. */
export function nameless({ person: _, thumbnail: __, ...series }: SeriesSummary): SeriesSummary {
  return series
}

/** Where the whole should have fitted but did not: no more than half of its bytes. */
export function lessThan({ shape, spacingMm, memory }: SeriesSummary): SizeOffer | null {
  if (spacingMm === null) return null
  const half = {
    bytes: Math.ceil(memory.volumeBytes / 8),
    shape: shape.map((n) => Math.floor(n / 2)) as unknown as SizeOffer['shape'],
    spacingMm: spacingMm.map((s) => 2 * s) as unknown as SizeOffer['spacingMm'],
  }
  const { volumeBytes: neededBytes } = memory
  return { neededBytes, budgetBytes: Math.floor(neededBytes / 2), shape, spacingMm, half }
}
