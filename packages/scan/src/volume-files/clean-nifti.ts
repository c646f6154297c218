import { scale, type Vec3 } from '@alveometer/core'
import { type NiftiFields, niftiDataOffset } from './nifti-fields.js'
import { type NiftiAffine, stepLengths } from './nifti-orientation.js'

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

const MILLIMETRES = 2
const SCANNER = 1

/**
 * A NIfTI-1 header with nothing in it but shape, type and geometry (mm), in the byte order of the voxels. The geometry
 * is written in the form the file used, so that the decoder works it out from the same numbers as we did.
 */
export function cleanNifti(
  shape: Vec3,
  fields: NiftiFields,
  affine: NiftiAffine | null,
  mmPerUnit: number,
): Uint8Array {
  const bytes = new Uint8Array(niftiDataOffset(1))
  const view = new DataView(bytes.buffer)
  const { littleEndian } = fields
  const int16 = (at: number, value: number) => view.setInt16(at, value, littleEndian)
  const floats = (at: number, values: readonly number[]) => {
    for (const [i, value] of values.entries()) view.setFloat32(at + 4 * i, value, littleEndian)
  }
  view.setInt32(0, 348, littleEndian)
  for (const [i, n] of [3, ...shape, 1, 1, 1, 1].entries()) int16(40 + 2 * i, n)
  int16(70, fields.datatype)
  int16(72, BITS[fields.datatype])
  const side = fields.pixdim[0] < 0 ? -1 : 1
  floats(76, [side, ...(affine ? scale(stepLengths(affine.steps), mmPerUnit) : [1, 1, 1])])
  floats(108, [niftiDataOffset(1)])
  view.setUint8(123, MILLIMETRES)
  if (affine?.form === 'qform') {
    int16(252, SCANNER)
    floats(256, fields.quaternion)
    floats(268, scale(fields.offset, mmPerUnit))
  } else if (affine) {
    int16(254, SCANNER)
    floats(
      280,
      fields.rows.map((n) => n * mmPerUnit),
    )
  }
  bytes.set([0x6e, 0x2b, 0x31], 344)
  return bytes
}
