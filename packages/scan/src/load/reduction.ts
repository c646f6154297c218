import { column, fromFrame, scale, toWorld, type Vec3 } from '@alveometer/core'
import type { StackGeometry } from '../geometry/index.js'
import { note, type ReportEntry, ScanError, warn } from '../report/index.js'

/** A part of a scan as a box of voxel indices: from, up to but without to. */
export interface IndexBox {
  readonly from: Vec3
  readonly to: Vec3
}

/** What is loaded of a scan that is too large for the memory at hand. */
export interface Reduction {
  /** Means of 2 x 2 x 2 voxels. */
  readonly half?: boolean
  /** Only these voxels of the whole scan. */
  readonly region?: IndexBox
}

/** The box that is loaded, within the one the slices fill. */
export interface LoadedBox {
  readonly region: IndexBox
  readonly half: boolean
  readonly shape: Vec3
  readonly spacingMm: Vec3
  readonly indexToWorld: StackGeometry['indexToWorld']
}

/** @throws ScanError `bad-region` when the region is not a box of whole voxels inside the scan. */
export function loadedBox(
  { shape, spacingMm, indexToWorld }: Pick<StackGeometry, 'shape' | 'spacingMm' | 'indexToWorld'>,
  { half = false, region = { from: [0, 0, 0], to: shape } }: Reduction,
): LoadedBox {
  const least = half ? 4 : 2
  const { from, to } = region
  const inside = [0, 1, 2].every((axis) => {
    const [low, high, size] = [from[axis], to[axis], shape[axis]] as [number, number, number]
    return Number.isInteger(low) && Number.isInteger(high) && low >= 0 && high <= size && high - low >= least
  })
  if (!inside)
    throw new ScanError(
      'bad-region',
      `The region ${from.join(', ')} to ${to.join(', ')} is not inside the scan of ${shape.join(' x ')} voxels, or less than ${least} voxels wide. Choose it again.`,
    )
  const size = [0, 1, 2].map((axis) => (to[axis] as number) - (from[axis] as number)) as [
    number,
    number,
    number,
  ]
  const factor = half ? 2 : 1
  // The middle of a block of two voxels lies half a voxel beyond the first.
  const start = from.map((n) => n + (half ? 0.5 : 0)) as unknown as Vec3
  const axis = (n: 0 | 1 | 2) => scale(column(indexToWorld, n), factor)
  return {
    region,
    half,
    // An odd voxel at the end has no partner and is left out.
    shape: size.map((n) => Math.floor(n / factor)) as unknown as Vec3,
    spacingMm: scale(spacingMm, factor),
    indexToWorld: fromFrame(axis(0), axis(1), axis(2), toWorld(indexToWorld, start)),
  }
}

export const isWhole = ({ region, half, shape }: LoadedBox, whole: Vec3): boolean =>
  !half && region.from.every((n) => n === 0) && shape.every((n, axis) => n === whole[axis])

/** What the report says of a reduction: the true voxel size stays in view. */
export function describeReduction(box: LoadedBox, whole: Vec3, spacingMm: Vec3): ReportEntry[] {
  const report: ReportEntry[] = []
  const size = (mm: Vec3) => mm.map((v) => Number(v.toFixed(3))).join(' x ')
  if (box.half) {
    const message = `Loaded at half resolution: voxels of ${size(box.spacingMm)} mm, in the file ${size(spacingMm)} mm. Thin bone is seen less well: load only a part of the scan where that matters.`
    report.push(warn('half-resolution', message, [], { voxels: `${size(box.spacingMm)} mm` }))
  }
  const { from, to } = box.region
  if (from.some((n) => n > 0) || to.some((n, axis) => n < (whole[axis] as number))) {
    const part = from.map((n, axis) => `${n} to ${(to[axis] as number) - 1}`).join(', ')
    const message = `Only a part of the scan was loaded: voxels ${part} of ${whole.join(' x ')}.`
    report.push(note('region-loaded', message, [], { voxels: part }))
  }
  return report
}
