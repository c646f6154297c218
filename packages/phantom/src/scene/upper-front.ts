import { createVolume, type Volume, type WorldPoint } from '@alveometer/core'
import { uidFrom } from '../dicom/index.js'
import { cubicGrid, type Grid } from '../generators/index.js'
import { correlatedNoise, gaussianBlur } from '../random/index.js'
import { type Anatomy, createAnatomy } from './anatomy.js'
import { greys } from './materials.js'
import { paint } from './paint.js'

/** What may be varied. Every field has a default; the same options give the same voxels. */
export interface UpperFrontOptions {
  readonly seed: string
  /** Cubic voxel size. The field of view keeps its 50 x 50 x 45 mm, so larger voxels make a smaller volume. */
  readonly voxelMm: number
  /** Standard deviation of the scan's blur. */
  readonly sigmaMm: number
  /** Noise deviation in soft tissue, grey values, and its correlation (sigma, voxels). */
  readonly noiseSd: number
  readonly noiseSigmaVoxels: number
  /** Thickness of the facial cortex at the site. */
  readonly facialPlateMm: number
  /** How far the facial surface has gone back, and how far the crest has sunk. */
  readonly concavityMm: number
  readonly crestLossMm: number
}

export const upperFrontDefaults: UpperFrontOptions = {
  seed: 'upper-front-1',
  voxelMm: 0.2,
  sigmaMm: 0.19,
  noiseSd: 55,
  noiseSigmaVoxels: 0.7,
  facialPlateMm: 0.6,
  concavityMm: 3.1,
  crestLossMm: 0.1,
}

/** Field of view: a cylinder along z, and the jaw's origin in it, LPS mm. */
export const upperFrontField = {
  centre: [0.9, -61.5, 41.2] as WorldPoint,
  radiusMm: 24.8,
  sizeMm: [50, 50, 45] as const,
}
const jawOrigin: WorldPoint = [0.3, -73.2, 36]

export const upperFrontAnatomy = (options: UpperFrontOptions): Anatomy =>
  createAnatomy(
    { concavityMm: options.concavityMm, plateMm: options.facialPlateMm, crestLossMm: options.crestLossMm },
    jawOrigin,
  )

const noData = -32768

/** The voxels of the scene: painted, blurred, shaded, noisy, cut to the cylinder. About 12 s for the default size. */
export function upperFrontVolume(options: UpperFrontOptions): Volume {
  const { seed, voxelMm } = options
  const shape = upperFrontField.sizeMm.map((mm) => Math.round(mm / voxelMm)) as [number, number, number]
  const grid: Grid = cubicGrid(shape, voxelMm, upperFrontField.centre)
  const inside = insideField(shape, voxelMm)
  const painted = new Float32Array(shape[0] * shape[1] * shape[2])
  const sheets = correlatedNoise(shape, 1, 0.29 / voxelMm, `${seed}/sheets`)
  const patches = coarsePatches(shape, voxelMm, `${seed}/patches`)
  paint(
    upperFrontAnatomy(options),
    grid,
    voxelMm,
    greys,
    { sheets, patches },
    (i, j) => inside(i, j) < 24.95,
    painted,
  )
  // Painting already averages over the voxel: a box of variance h^2 / 12 along each surface normal.
  const sigma = Math.sqrt(Math.max(0, options.sigmaMm ** 2 - voxelMm ** 2 / 12)) / voxelMm
  gaussianBlur(painted, shape, [sigma, sigma, sigma], 'repeat')
  const noise = correlatedNoise(shape, options.noiseSd, options.noiseSigmaVoxels, `${seed}/noise`)
  const data = finish(painted, noise, shape, inside)
  return createVolume({
    data,
    shape,
    indexToWorld: grid.indexToWorld,
    noData,
    identity: { seriesUid: uidFrom(`${seed}/series`), frameOfReferenceUid: uidFrom(`${seed}/frame`) },
  })
}

/** Distance of a voxel column from the axis of the field, mm. */
const insideField =
  (shape: readonly number[], h: number) =>
  (i: number, j: number): number =>
    h * Math.hypot(i - ((shape[0] as number) - 1) / 2, j - ((shape[1] as number) - 1) / 2)

/** Slow variation, made at a quarter of the resolution and spread out again. */
function coarsePatches(shape: readonly [number, number, number], h: number, seed: string): Float32Array {
  const factor = 4
  const small = shape.map((n) => Math.ceil(n / factor) + 1) as [number, number, number]
  const coarse = correlatedNoise(small, 1, 1.3 / (factor * h), seed)
  const out = new Float32Array(shape[0] * shape[1] * shape[2])
  let n = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++) {
      const base = ((k / factor) | 0) * small[0] * small[1] + ((j / factor) | 0) * small[0]
      const fz = (k % factor) / factor
      const fy = (j % factor) / factor
      const a = small[0]
      const b = small[0] * small[1]
      for (let i = 0; i < shape[0]; i++, n++) {
        const at = base + ((i / factor) | 0)
        const fx = (i % factor) / factor
        const v0 = coarse[at] as number
        const v1 = coarse[at + a] as number
        const v2 = coarse[at + b] as number
        const v3 = coarse[at + a + b] as number
        const l0 = v0 + ((coarse[at + 1] as number) - v0) * fx
        const l1 = v1 + ((coarse[at + a + 1] as number) - v1) * fx
        const l2 = v2 + ((coarse[at + b + 1] as number) - v2) * fx
        const l3 = v3 + ((coarse[at + a + b + 1] as number) - v3) * fx
        const low = l0 + (l1 - l0) * fy
        const high = l2 + (l3 - l2) * fy
        out[n] = low + (high - low) * fz
      }
    }
  return out
}

/** Shading (brighter in the middle and at the cut edge, as in a small truncated field), noise, rounding, the cut. */
function finish(
  painted: Float32Array,
  noise: Float32Array,
  shape: readonly [number, number, number],
  distance: (i: number, j: number) => number,
): Int16Array {
  const [nx, ny, nz] = shape
  const data = new Int16Array(painted.length)
  for (let j = 0; j < ny; j++)
    for (let i = 0; i < nx; i++) {
      const r = distance(i, j)
      const cut = r > upperFrontField.radiusMm
      const shade = 55 * (1 - (r / 25) ** 2) + 60 * Math.exp((r - upperFrontField.radiusMm) / 0.9)
      for (let k = 0; k < nz; k++) {
        const n = i + nx * (j + ny * k)
        const v = painted[n] as number
        // More noise behind more bone, less in air.
        const gain = v < -500 ? 0.72 : 1 + 0.12 * Math.min(1, Math.max(0, v / 2500))
        const tissue = Math.min(1, Math.max(0, (v + 985) / 1000))
        data[n] = cut ? noData : Math.max(-1900, Math.round(v + shade * tissue + gain * (noise[n] as number)))
      }
    }
  return data
}
