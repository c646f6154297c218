import type { VoxelArray } from '@alveometer/core'

/**
 * From the 2nd to the 98.5th percentile of some hundred thousand voxels, evenly spread, less the darkest tenth: air and
 * enamel may saturate, what lies between should not.
 */
export function greyRange(data: VoxelArray, noData?: number): { greyLow: number; greyHigh: number } {
  const step = Math.max(1, Math.floor(data.length / 200_003))
  const picked = Float32Array.from(
    { length: Math.ceil(data.length / step) },
    (_, n) => data[n * step] as number,
  )
  const some = picked.filter((value) => value !== noData).sort()
  const at = (share: number): number => some[Math.floor(share * (some.length - 1))] ?? 0
  const low = at(0.02)
  const high = at(0.985)
  return { greyLow: Math.round(low + 0.1 * (high - low)), greyHigh: Math.round(high) }
}
