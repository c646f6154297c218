export type VoxelArray = Int16Array | Uint16Array | Float32Array

/** Least and greatest of the voxels that count; the least is above the greatest where none does. */
export function greyRange(data: VoxelArray, noData: number | undefined): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 0; i < data.length; i++) {
    const v = data[i]
    if (v === noData) continue
    if (v < low) low = v
    if (v > high) high = v
  }
  return [low, high]
}
