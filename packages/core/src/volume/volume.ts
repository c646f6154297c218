import { column, invert, length, type Mat4, type Vec3 } from '../space/index.js'

export type VoxelArray = Int16Array | Uint16Array | Float32Array

/** Truthful names for what a voxel value means. */
export type GreyUnit = 'grey value' | 'HU as written by the device, not calibrated'

/** What the stored numbers mean. `data` already holds grey = slope x stored + intercept. */
export interface Grey {
  readonly unit: GreyUnit
  readonly minimum: number
  readonly maximum: number
}

/** Which scan a volume is, without any name of a person. */
export interface ScanIdentity {
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  /** A hash of shape, geometry and voxels: equal only for the same numbers at the same place. */
  readonly fingerprint: string
}

/**
 * A scan: grey values on a regular grid in patient space. Plain and readonly; the voxels are shared, never copied.
 * `data[offset + i*stride[0] + j*stride[1] + k*stride[2]]` is the grey value at index (i, j, k).
 */
export interface Volume {
  readonly data: VoxelArray
  readonly shape: Vec3
  readonly stride: Vec3
  readonly offset: number
  /** Index space to LPS millimetres. */
  readonly indexToWorld: Mat4
  readonly worldToIndex: Mat4
  /** Distance between neighbouring voxel centres along each index axis. */
  readonly spacingMm: Vec3
  readonly grey: Grey
  /** The value in `data` that stands for "nothing was measured here"; absent when every voxel counts. */
  readonly noData?: number
  readonly identity: ScanIdentity
}

export interface VolumeParts {
  readonly data: VoxelArray
  readonly shape: Vec3
  readonly indexToWorld: Mat4
  readonly unit?: GreyUnit
  readonly noData?: number
  readonly identity?: Partial<ScanIdentity>
}

/**
 * A volume from voxels in x-fastest order. The array is kept, not copied; minimum and maximum are found here.
 * @throws RangeError when the shape does not match the array or the matrix cannot be inverted.
 */
export function createVolume(parts: VolumeParts): Volume {
  const { data, shape, indexToWorld, noData } = parts
  const count = shape[0] * shape[1] * shape[2]
  if (!shape.every((n) => Number.isInteger(n) && n > 0) || data.length !== count)
    throw new RangeError(`shape ${shape.join(' x ')} needs ${count} voxels, got ${data.length}`)
  const [minimum, maximum] = range(data, noData)
  const identity = {
    seriesUid: parts.identity?.seriesUid ?? '',
    frameOfReferenceUid: parts.identity?.frameOfReferenceUid ?? '',
    fingerprint: parts.identity?.fingerprint ?? fingerprint(data, shape, indexToWorld),
  }
  return {
    data,
    shape,
    stride: [1, shape[0], shape[0] * shape[1]],
    offset: 0,
    indexToWorld,
    worldToIndex: invert(indexToWorld),
    spacingMm: [0, 1, 2].map((c) => length(column(indexToWorld, c as 0 | 1 | 2))) as [number, number, number],
    grey: { unit: parts.unit ?? 'grey value', minimum, maximum },
    ...(noData === undefined ? {} : { noData }),
    identity,
  }
}

function range(data: VoxelArray, noData: number | undefined): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 0; i < data.length; i++) {
    const v = data[i]
    if (v === noData) continue
    if (v < low) low = v
    if (v > high) high = v
  }
  return low <= high ? [low, high] : [0, 0]
}

/** FNV-1a over shape, geometry (to 1e-6) and every voxel: 16 hexadecimal digits. Not cryptographic. */
export function fingerprint(data: VoxelArray, shape: Vec3, indexToWorld: Mat4): string {
  let a = 0x811c9dc5
  let b = 0x01000193
  const feed = (value: number) => {
    a = Math.imul(a ^ (value & 0xffff), 0x01000193)
    b = Math.imul(b ^ ((value >> 3) & 0xffff) ^ (a >>> 7), 0x85ebca6b)
  }
  for (const n of shape) feed(n)
  for (const m of indexToWorld) {
    const micro = Math.round(m * 1e6)
    feed(micro | 0)
    feed(Math.floor(micro / 65536) | 0)
  }
  const words =
    data instanceof Float32Array ? new Int32Array(data.buffer, data.byteOffset, data.length) : data
  for (let i = 0; i < words.length; i++) feed(words[i])
  const hex = (n: number) => (n >>> 0).toString(16).padStart(8, '0')
  return hex(a) + hex(b)
}
