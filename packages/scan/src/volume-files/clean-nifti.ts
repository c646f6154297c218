import { scale, type Vec3 } from '@alveometer/core'
import { bytesOf, type ComponentType } from './component.js'
import { type NiftiFields, niftiDataOffset } from './nifti-fields.js'
import { type NiftiAffine, stepLengths } from './nifti-orientation.js'

/** `datatype` of nifti1.h. */
export const NIFTI_TYPES: Readonly<Record<ComponentType, number>> = {
  uint8: 2,
  int16: 4,
  int32: 8,
  float32: 16,
  float64: 64,
  int8: 256,
  uint16: 512,
  uint32: 768,
  int64: 1024,
  uint64: 1280,
}

/**
 * The decoder's niftilib turns every float that is no finite number into 0, the grey of water. So it gets floats as
 * whole numbers of the same bits.
 */
export const niftiCodedAs = (type: ComponentType): ComponentType =>
  type === 'float32' ? 'int32' : type === 'float64' ? 'int64' : type

const MILLIMETRES = 2
const SCANNER = 1

/**
 * A NIfTI-1 header with nothing in it but shape, type and geometry (mm), in the byte order of the voxels. The geometry
 * is written in the form the file used, so that the decoder works it out from the same numbers as we did.
 */
export function cleanNifti(
  shape: Vec3,
  type: ComponentType,
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
  int16(70, NIFTI_TYPES[type])
  int16(72, 8 * bytesOf(type))
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
