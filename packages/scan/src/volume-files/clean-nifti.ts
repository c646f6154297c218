import { scale, type Vec3 } from '@alveometer/core'
import type { GivenGeometry } from './header.js'
import { type NiftiFields, niftiDataOffset } from './nifti-fields.js'
import { rasToLps } from './nifti-orientation.js'

/** Bits of one voxel by `datatype` of nifti1.h. */
const BITS: Readonly<Record<number, number>> = {
  2: 8,
  4: 16,
  8: 32,
  16: 32,
  64: 64,
  256: 8,
  512: 16,
  768: 32,
  1024: 64,
  1280: 64,
}

/**
 * A NIfTI-1 header with nothing in it but shape, type and geometry (mm), in the byte order of the voxels. The geometry
 * is written in the form the file used, so that the decoder works it out from the same numbers as we did.
 */
export function cleanNifti(shape: Vec3, fields: NiftiFields, given: GivenGeometry | null): Uint8Array {
  const bytes = new Uint8Array(niftiDataOffset(1))
  const view = new DataView(bytes.buffer)
  const { littleEndian } = fields
  const int16 = (at: number, value: number) => view.setInt16(at, value, littleEndian)
  const float = (at: number, value: number) => view.setFloat32(at, value, littleEndian)
  view.setInt32(0, 348, littleEndian)
  const dim = [3, ...shape, 1, 1, 1, 1]
  dim.forEach((n, i) => int16(40 + 2 * i, n))
  int16(70, fields.datatype)
  int16(72, BITS[fields.datatype] ?? 0)
  const pixdim = [fields.pixdim[0] < 0 ? -1 : 1, 1, 1, 1]
  pixdim.forEach((size, i) => float(76 + 4 * i, size))
  float(108, niftiDataOffset(1))
  view.setUint8(123, 2)
  bytes.set([0x6e, 0x2b, 0x31], 344)
  return bytes
}
