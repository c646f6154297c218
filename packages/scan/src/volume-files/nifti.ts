import { scale, type Vec3 } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'
import { block, FindingError, type ReportEntry, warn } from '../report/index.js'
import { cleanNifti, NIFTI_TYPES, niftiCodedAs } from './clean-nifti.js'
import { bytesOf, type ComponentType } from './component.js'
import { damaged, notAVolume, notDensity, notOneVolume, truncated, unsupported } from './findings.js'
import type { Directions, FormatHeader, GivenGeometry, GreyScale } from './header.js'
import { isGzip, unpackedHead } from './kind.js'
import {
  NIFTI_HEADER_BYTES,
  type NiftiFields,
  niftiDataOffset,
  niftiVersion,
  readNiftiFields,
} from './nifti-fields.js'
import { affineOf, checkForms, rasToLps, stepLengths } from './nifti-orientation.js'
import { isWhole } from './numbers.js'
import { checkSameSpacing, shearDeg, unitAssumed } from './placement.js'
import { partOf, voxelsOf } from './stored-part.js'

/** Packed headers are small, but a comment or an extension may stand before what is packed. */
const HEAD_BYTES = 2 ** 16

/** `datatype` of nifti1.h for what is not one number. */
const COLOUR: readonly number[] = [128, 2304]
const COMPLEX: readonly number[] = [32, 1792, 2048]

/** `intent_code` of nifti1.h: names or indices of regions in place of grey values. */
const LABELS: readonly number[] = [1002, 1003]

/** Beyond it, 16 bit voxels leave what single precision can hold apart; no scanner comes near. */
const LARGEST_SCALE = 1e9

/** The decoder refuses axes that are further off being perpendicular; it then gets none. */
const DECODER_SHEAR_DEG = 0.005

/** Reads a NIfTI-1 or NIfTI-2 header, packed or not. Layout: nifti1.h and nifti2.h of the NIfTI committee. */
export async function readNifti(input: ScanInput, signal?: AbortSignal): Promise<FormatHeader> {
  const { name: file } = input
  const packedHead = await input.read(0, HEAD_BYTES, signal)
  const packed = isGzip(packedHead)
  const head = (packed ? unpackedHead(packedHead) : packedHead).subarray(0, NIFTI_HEADER_BYTES)
  const version = niftiVersion(head)
  const fields = version === null ? null : readNiftiFields(head, version)
  if (version === null || fields === null) throw truncated(file, 'its header is not complete')
  if (!fields.single)
    throw unsupported(file, 'one half of a pair of .hdr and .img', 'Save the volume as one .nii file.')
  const componentType = typeOf(file, fields.datatype)
  const shape = shapeOf(file, fields.dim)
  const offset = fields.voxOffset === 0 ? niftiDataOffset(version) : fields.voxOffset
  if (!isWhole(offset, niftiDataOffset(version)))
    throw damaged(file, 'the place of its voxels cannot be right')
  const { affine, mmPerUnit, given, report } = geometryOf(file, fields, shape)
  const bytes = voxelsOf(file, shape) * bytesOf(componentType)
  const part = packed
    ? partOf({ input, header: file, start: 0, packing: 'gzip', skip: offset, bytes })
    : partOf({ input, header: file, start: offset, packing: 'none', skip: 0, bytes })
  if (LABELS.includes(fields.intentCode)) report.push(labelMap(file))
  const codedAs = niftiCodedAs(componentType)
  const straight = affine && shearDeg(affine.steps) <= DECODER_SHEAR_DEG ? affine : null
  return {
    shape,
    given,
    componentType,
    scale: scaleOf(file, fields),
    report: [...report, ...part.report],
    stored: {
      parts: [part.part],
      text: false,
      codedAs,
      placed: straight !== null,
      cleanHeader: (slices) => cleanNifti([shape[0], shape[1], slices], codedAs, fields, straight, mmPerUnit),
    },
  }
}

function typeOf(file: string, datatype: number): ComponentType {
  const type = (Object.keys(NIFTI_TYPES) as ComponentType[]).find((t) => NIFTI_TYPES[t] === datatype)
  if (type) return type
  if (COLOUR.includes(datatype)) throw notDensity(file, 'colours')
  if (COMPLEX.includes(datatype)) throw notDensity(file, 'complex numbers')
  throw unsupported(file, `written with numbers of type ${datatype}`, 'Save the volume with 16 bit numbers.')
}

function shapeOf(file: string, dim: readonly number[]): Vec3 {
  const [axes, ...sizes] = dim
  const used = sizes.slice(0, axes)
  if (!isWhole(axes, 1) || axes > 7 || !used.every((n) => isWhole(n, 1)))
    throw damaged(file, 'its number of voxels cannot be right')
  const [columns = 1, rows = 1, slices = 1, times = 1, ...components] = used
  if (components.some((n) => n > 1)) throw notDensity(file, 'several numbers for each voxel')
  if (times > 1) throw notOneVolume(file, `${times} volumes`)
  if (Math.min(columns, rows, slices) < 2) throw notAVolume(file, 'one image')
  return [columns, rows, slices]
}

/** Bits 0 to 2 of `xyzt_units`. */
const UNIT_MM: Readonly<Record<number, number>> = { 1: 1000, 2: 1, 3: 0.001 }

function geometryOf(file: string, fields: NiftiFields, shape: Vec3) {
  const report: ReportEntry[] = []
  const unit = UNIT_MM[fields.units & 7]
  if (unit === undefined) report.push(unitAssumed(file))
  const mmPerUnit = unit ?? 1
  const pixdim: Vec3 = [fields.pixdim[1], fields.pixdim[2], fields.pixdim[3]]
  const affine = affineOf(fields)
  const given: GivenGeometry = { steps: null, spacingMm: null, directions: null, originMm: null }
  if (!affine) return { affine, mmPerUnit, given: { ...given, spacingMm: scale(pixdim, mmPerUnit) }, report }
  // An sform holds the voxel size as well. Where pixdim is filled in, both must say the same.
  if (affine.form === 'sform' && pixdim.every((s) => Math.abs(s) > 0))
    checkSameSpacing(file, scale(stepLengths(affine.steps), mmPerUnit), scale(absolute(pixdim), mmPerUnit))
  if (affine.form === 'qform' && !pixdim.every((s) => s > 0)) throw badPixdim(file)
  report.push(...checkForms(file, fields, shape, mmPerUnit))
  const toLpsMm = (v: Vec3): Vec3 => scale(rasToLps(v), mmPerUnit)
  const [x, y, z] = affine.steps
  const steps: Directions = [toLpsMm(x), toLpsMm(y), toLpsMm(z)]
  return { affine, mmPerUnit, given: { ...given, steps, originMm: toLpsMm(affine.origin) }, report }
}

const absolute = ([x, y, z]: Vec3): Vec3 => [Math.abs(x), Math.abs(y), Math.abs(z)]

function scaleOf(file: string, { slope, intercept }: NiftiFields): GreyScale {
  if (slope === 0 || Number.isNaN(slope)) return { slope: 1, intercept: 0 }
  if (!(Math.abs(slope) <= LARGEST_SCALE && Math.abs(intercept) <= LARGEST_SCALE))
    throw new FindingError(
      block(
        'rescale-implausible',
        `${file}: its scale of grey values (scl_slope, scl_inter) cannot be right. Export the volume again.`,
        [file],
      ),
    )
  return { slope, intercept }
}

const badPixdim = (file: string) =>
  new FindingError(
    block(
      'bad-spacing',
      `${file}: its voxel size (pixdim) cannot be right. Export the volume again with its true voxel size.`,
      [file],
    ),
  )

const labelMap = (file: string) =>
  warn(
    'label-map',
    `${file} is a label map: its numbers are names of regions, not grey values. Bone cannot be measured in it.`,
    [file],
  )
