import { column, invert, length, type Mat4, type Vec3 } from '../space/index.js'
import { fingerprint } from './fingerprint.js'
import type { ConfirmedGeometry, ScanRemark } from './remark.js'
import { greyRange, type VoxelArray } from './voxels.js'

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
  /** A hash of shape, geometry and voxels, made on first use: equal only for the same numbers at the same place. */
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
  /** What there is to know about the scan; travels with every assessment and plan. */
  readonly remarks: readonly ScanRemark[]
  /** Absent when the file gave all of its geometry. */
  readonly confirmed?: ConfirmedGeometry
}

export interface VolumeParts {
  readonly data: VoxelArray
  readonly shape: Vec3
  readonly indexToWorld: Mat4
  readonly unit?: GreyUnit
  readonly noData?: number
  readonly identity?: Partial<ScanIdentity>
  /** Least and greatest grey value, no data aside, when they are known already; found when they are asked for when absent. */
  readonly range?: readonly [minimum: number, maximum: number]
  readonly remarks?: readonly ScanRemark[]
  readonly confirmed?: ConfirmedGeometry
}

/**
 * A volume from voxels in x-fastest order, in a right- or left-handed index space. The array is kept, not copied.
 * @throws RangeError when the shape does not match the array or the matrix cannot be inverted.
 */
export function createVolume(parts: VolumeParts): Volume {
  const { data, shape, indexToWorld, noData } = parts
  const count = shape[0] * shape[1] * shape[2]
  if (!shape.every((n) => Number.isInteger(n) && n > 0) || data.length !== count)
    throw new RangeError(`shape ${shape.join(' x ')} needs ${count} voxels, got ${data.length}`)
  return {
    data,
    shape,
    stride: [1, shape[0], shape[0] * shape[1]],
    offset: 0,
    indexToWorld,
    worldToIndex: invert(indexToWorld),
    spacingMm: [0, 1, 2].map((c) => length(column(indexToWorld, c as 0 | 1 | 2))) as [number, number, number],
    grey: greyOf(parts),
    ...(noData === undefined ? {} : { noData }),
    identity: identityOf(parts),
    remarks: parts.remarks ?? [],
    ...(parts.confirmed === undefined ? {} : { confirmed: parts.confirmed }),
  }
}

/** Least and greatest take a pass over all voxels, so they are looked for when somebody asks for them. */
function greyOf({ data, noData, range, unit = 'grey value' }: VolumeParts): Grey {
  let known = range
  const found = () => {
    known ??= greyRange(data, noData)
    // Where no voxel counts there is no least and no greatest.
    return known[0] <= known[1] ? known : [0, 0]
  }
  return {
    unit,
    get minimum() {
      return found()[0]
    },
    get maximum() {
      return found()[1]
    },
  }
}

/** The hash takes a pass over all voxels, so it is made when somebody asks for it, and then kept. */
function identityOf({ data, shape, indexToWorld, identity = {} }: VolumeParts): ScanIdentity {
  let hash = identity.fingerprint
  return {
    seriesUid: identity.seriesUid ?? '',
    frameOfReferenceUid: identity.frameOfReferenceUid ?? '',
    get fingerprint() {
      hash ??= fingerprint(data, shape, indexToWorld)
      return hash
    },
  }
}
