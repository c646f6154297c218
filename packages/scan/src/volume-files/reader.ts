import { distance, toWorld, type Vec3 } from '@alveometer/core'
import { type ReportEntry, warn } from '../report/index.js'
import { asType, isArrayOf, type StoredArray } from './component.js'
import type { VolumeFileHeader, VolumeFileKind } from './header.js'

/** Turns the bytes of a sound volume file into numbers. */
export interface VolumeFileReader {
  /** Rejects when the file cannot be decoded. */
  read(kind: VolumeFileKind, file: CleanFile, signal?: AbortSignal): Promise<ReaderImage>
}

/** A small file of our own making, with a plain name. */
export interface CleanFile {
  readonly path: string
  readonly data: Uint8Array
}

/** What comes back, as far as we look at it: the Image record of itk-wasm. */
export interface ReaderImage {
  readonly size: readonly number[]
  readonly spacing: readonly number[]
  readonly origin: readonly number[]
  /** Row by row; the axes stand in the columns. */
  readonly direction: ArrayLike<number>
  readonly imageType: { readonly components: number }
  readonly data: unknown
}

/** By kind: the pipeline of itk-wasm that reads it, and the name of the file it is given. */
export const PIPELINES: Readonly<Record<VolumeFileKind, string>> = {
  nrrd: 'nrrd-read-image',
  nifti: 'nifti-read-image',
  metaimage: 'meta-read-image',
}

export const CLEAN_NAMES: Readonly<Record<VolumeFileKind, string>> = {
  nrrd: '0001.nrrd',
  nifti: '0001.nii',
  metaimage: '0001.mha',
}

/**
 * The voxels of a decoded block, checked for number and type.
 * @throws RangeError when they are not what the header promises
 */
export function voxelsIn(
  image: ReaderImage | undefined,
  header: VolumeFileHeader,
  slices: number,
): StoredArray {
  const { shape, componentType, stored } = header
  const size = [shape[0], shape[1], slices]
  const count = size.reduce((product, n) => product * n, 1)
  const data = image?.data
  if (!image || !isArrayOf(data, stored.codedAs))
    throw new RangeError(`no image of ${stored.codedAs} came back`)
  const asPromised = image.size.join() === size.join() && image.imageType.components === 1
  if (!asPromised || data.length !== count)
    throw new RangeError(`${image.size.join(' x ')} voxels came back, not ${size.join(' x ')}`)
  return asType(data, componentType)
}

/** Single precision of a NIfTI header leaves some micrometres at the far end of a volume. */
const AGREE_MM = 0.02

/** Compares where the decoder would place the first block with where we do. Ours counts. */
export function comparePlaces(image: ReaderImage, header: VolumeFileHeader, slices: number): ReportEntry[] {
  const { indexToWorld, shape, file, stored } = header
  if (!indexToWorld || !stored.placed) return []
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((corner): Vec3 => {
    const last = [shape[0] - 1, shape[1] - 1, slices - 1]
    return [last[0] * (corner & 1), last[1] * ((corner >> 1) & 1), last[2] * (corner >> 2)]
  })
  const apart = Math.max(
    ...corners.map((corner) => distance(placeOf(image, corner), toWorld(indexToWorld, corner))),
  )
  if (apart <= AGREE_MM) return []
  return [
    warn(
      'reader-disagrees',
      `${file}: its decoder places voxels up to ${apart.toFixed(2)} mm away from where the header was found to place them; the header was followed. Check a known length and the sides before measuring.`,
      [file],
      { largestMm: Number(apart.toFixed(3)) },
    ),
  ]
}

function placeOf({ origin, direction, spacing }: ReaderImage, index: Vec3): Vec3 {
  const along = (row: number) =>
    index.reduce((sum, i, axis) => sum + direction[3 * row + axis] * spacing[axis] * i, origin[row])
  return [along(0), along(1), along(2)]
}
