import type { Vec3 } from '@alveometer/core'

/** Voxels along each side of a block. */
export const blockSide = 4

/** What fills a block when no surface comes near it; 'detail' means every voxel must be looked at. */
export type BlockKind = 0 | 1 | 2 | 3 | 4
export const detail = 0
export const air = 1
export const soft = 2
export const cortex = 3
export const marrow = 4

/** Values of one field at the corners of blocks, x fastest. */
export interface Corners {
  readonly shape: Vec3
  /** Fat share of soft tissue, and distance to bone's surface: the slow fields that uniform blocks still need. */
  readonly fat: Float32Array
  readonly bone: Float32Array
  readonly kinds: Uint8Array
}

/** The fields a corner needs, written into `out`: bone, marrow, canal, soft, tooth distance, fat share. */
export type CornerProbe = (i: number, j: number, k: number, out: Float64Array) => void

/**
 * Looks at block corners first. Distances change by at most about 1.3 mm per mm, so a block whose corners are all
 * farther than 0.65 diagonals from every surface, and on the same sides, holds one material.
 */
export function surveyBlocks(voxels: Vec3, voxelMm: number, probe: CornerProbe): Corners {
  const shape = voxels.map((n) => Math.ceil(n / blockSide) + 1) as [number, number, number]
  const [nx, ny, nz] = shape
  const count = nx * ny * nz
  const fat = new Float32Array(count)
  const bone = new Float32Array(count)
  const corner = new Uint8Array(count)
  const values = new Float64Array(6)
  const clear = 0.5 * Math.sqrt(3) * blockSide * voxelMm * 1.3 + 0.5 * voxelMm
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        probe(i * blockSide, j * blockSide, k * blockSide, values)
        corner[n] = kindAt(values, clear)
        bone[n] = values[0] as number
        fat[n] = values[5] as number
      }
  const kinds = new Uint8Array(count)
  const other = [1, nx, nx + 1, nx * ny, nx * ny + 1, nx * ny + nx, nx * ny + nx + 1]
  for (let at = 0; at + nx * ny + nx + 1 < count; at++) {
    const kind = corner[at] as number
    kinds[at] = other.every((step) => corner[at + step] === kind) ? kind : detail
  }
  return { shape, fat, bone, kinds }
}

function kindAt(values: Float64Array, clear: number): BlockKind {
  const bone = values[0] as number
  const marrowDistance = values[1] as number
  const canal = values[2] as number
  const softDistance = values[3] as number
  const tooth = values[4] as number
  // The lining of a socket and the rim of the canal reach half a millimetre beyond their surfaces.
  if (tooth < clear + 0.6 || Math.abs(bone) < clear) return detail
  if (bone > 0) return Math.abs(softDistance) < clear ? detail : softDistance > 0 ? air : soft
  if (canal < clear + 0.6 || Math.abs(marrowDistance) < clear) return detail
  return marrowDistance > 0 ? cortex : marrow
}
