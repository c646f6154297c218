/** The fields of a NIfTI header that are looked at, as they stand in the file. */
export interface NiftiFields {
  /** Of the header and of the voxels. */
  readonly littleEndian: boolean
  /** A header in one file with its voxels ("n+1"), or with the voxels in a second one ("ni1"). */
  readonly single: boolean
  readonly dim: readonly number[]
  readonly intentCode: number
  readonly datatype: number
  readonly pixdim: readonly number[]
  readonly voxOffset: number
  readonly slope: number
  readonly intercept: number
  readonly units: number
  readonly qformCode: number
  readonly sformCode: number
  readonly quaternion: readonly [b: number, c: number, d: number]
  readonly offset: readonly [number, number, number]
  /** The three rows of the affine, four numbers each. */
  readonly rows: readonly number[]
}

export const NIFTI_HEADER_BYTES = 540

/** Where the voxels begin when `vox_offset` is 0: behind the header and four bytes that tell of extensions. */
export const niftiDataOffset = (version: 1 | 2): number => (version === 1 ? 352 : 544)

/** 1 or 2 by size and magic of the header (nifti1.h, nifti2.h), null for anything else. */
export function niftiVersion(head: Uint8Array): 1 | 2 | null {
  const view = viewOf(head)
  const size = (littleEndian: boolean) => (head.length < 4 ? 0 : view.getInt32(0, littleEndian))
  const magic = (at: number) => String.fromCharCode(...head.subarray(at, at + 3))
  const sized = (bytes: number) => size(true) === bytes || size(false) === bytes
  if (sized(348) && /^n[+i]1$/.test(magic(344))) return 1
  if (sized(540) && /^n[+i]2$/.test(magic(4))) return 2
  return null
}

/** The fields of a header that `niftiVersion` knows; null when it is cut short. */
export function readNiftiFields(head: Uint8Array, version: 1 | 2): NiftiFields | null {
  if (head.length < (version === 1 ? 348 : 540)) return null
  const view = viewOf(head)
  const littleEndian = view.getInt32(0, true) === (version === 1 ? 348 : 540)
  return version === 1 ? fieldsOf1(view, littleEndian) : fieldsOf2(view, littleEndian)
}

function fieldsOf1(view: DataView, littleEndian: boolean): NiftiFields {
  const int16 = (at: number) => view.getInt16(at, littleEndian)
  const float = (at: number) => view.getFloat32(at, littleEndian)
  const floats = (at: number, n: number) => Array.from({ length: n }, (_, i) => float(at + 4 * i))
  return {
    littleEndian,
    single: view.getUint8(345) === 0x2b,
    dim: Array.from({ length: 8 }, (_, i) => int16(40 + 2 * i)),
    intentCode: int16(68),
    datatype: int16(70),
    pixdim: floats(76, 8),
    voxOffset: float(108),
    slope: float(112),
    intercept: float(116),
    units: view.getUint8(123),
    qformCode: int16(252),
    sformCode: int16(254),
    quaternion: [float(256), float(260), float(264)],
    offset: [float(268), float(272), float(276)],
    rows: floats(280, 12),
  }
}

function fieldsOf2(view: DataView, littleEndian: boolean): NiftiFields {
  const int32 = (at: number) => view.getInt32(at, littleEndian)
  const int64 = (at: number) => Number(view.getBigInt64(at, littleEndian))
  const float = (at: number) => view.getFloat64(at, littleEndian)
  const floats = (at: number, n: number) => Array.from({ length: n }, (_, i) => float(at + 8 * i))
  return {
    littleEndian,
    single: view.getUint8(5) === 0x2b,
    dim: Array.from({ length: 8 }, (_, i) => int64(16 + 8 * i)),
    intentCode: int32(504),
    datatype: view.getInt16(12, littleEndian),
    pixdim: floats(104, 8),
    voxOffset: int64(168),
    slope: float(176),
    intercept: float(184),
    units: int32(500) & 0xff,
    qformCode: int32(344),
    sformCode: int32(348),
    quaternion: [float(352), float(360), float(368)],
    offset: [float(376), float(384), float(392)],
    rows: floats(400, 12),
  }
}

const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
