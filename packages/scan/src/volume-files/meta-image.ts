import type { Vec3 } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'
import { block, FindingError } from '../report/index.js'
import { bytesOf, type ComponentType } from './component.js'
import { damaged, notAVolume, notDensity, notOneVolume, truncated, unsupported } from './findings.js'
import type { FormatHeader, GreyScale } from './header.js'
import { metaParts } from './meta-image-data.js'
import { hasMetaEnd, type MetaFields, readMetaFields } from './meta-image-fields.js'
import { type MetaAxes, metaGeometry } from './meta-image-geometry.js'
import { isWhole, readNumbers } from './numbers.js'
import { voxelsOf } from './stored-part.js'
import { readTextHead } from './text-head.js'

/** MetaIO's LONG has four bytes whatever the machine. The clean header says INT, which every reader takes as four. */
const TYPES: Readonly<Record<string, ComponentType>> = {
  MET_CHAR: 'int8',
  MET_UCHAR: 'uint8',
  MET_SHORT: 'int16',
  MET_USHORT: 'uint16',
  MET_INT: 'int32',
  MET_LONG: 'int32',
  MET_UINT: 'uint32',
  MET_ULONG: 'uint32',
  MET_LONG_LONG: 'int64',
  MET_ULONG_LONG: 'uint64',
  MET_FLOAT: 'float32',
  MET_DOUBLE: 'float64',
}

/** Reads a MetaImage header with its voxels behind it or in other files. Layout: MetaIO's table of tags. */
export async function readMetaImage(
  input: ScanInput,
  siblings: readonly ScanInput[],
  signal?: AbortSignal,
): Promise<FormatHeader> {
  const { name: file } = input
  const head = await readTextHead(input, hasMetaEnd, signal)
  const fields = readMetaFields(file, head)
  if (fields.end < 0) throw truncated(file, 'its header does not end')
  const dimSize = dimSizeOf(file, fields)
  const shape: Vec3 = [dimSize[0], dimSize[1], dimSize[2]]
  const componentType = typeOf(file, fields)
  if (fields.flag('BinaryData') === false)
    throw unsupported(file, 'written as text', 'Save it again with binary data.')
  const bigEndian = fields.flag('BinaryDataByteOrderMSB', 'ElementByteOrderMSB') === true
  const { given, axes, report } = metaGeometry(file, fields, dimSize.length)
  const bytes = voxelsOf(file, shape) * bytesOf(componentType)
  const { parts, report: found } = await metaParts(input, siblings, fields, dimSize, bytes, signal)
  return {
    shape,
    given,
    componentType,
    scale: scaleOf(file, fields),
    report: [...report, ...found],
    stored: {
      parts,
      text: false,
      codedAs: componentType,
      placed: axes !== null,
      cleanHeader: (slices) => cleanHeader([shape[0], shape[1], slices], componentType, bigEndian, axes),
    },
  }
}

function cleanHeader(
  shape: Vec3,
  type: ComponentType,
  bigEndian: boolean,
  axes: MetaAxes | null,
): Uint8Array {
  const lines = [
    'ObjectType = Image',
    'NDims = 3',
    'BinaryData = True',
    `BinaryDataByteOrderMSB = ${bigEndian ? 'True' : 'False'}`,
    'CompressedData = False',
    ...(axes
      ? [
          `TransformMatrix = ${axes.directions.flat().join(' ')}`,
          `Offset = ${axes.offset.join(' ')}`,
          `ElementSpacing = ${axes.spacingMm.join(' ')}`,
        ]
      : []),
    `DimSize = ${shape.join(' ')}`,
    `ElementType = ${Object.keys(TYPES).find((name) => TYPES[name] === type)}`,
    'ElementDataFile = LOCAL',
    '',
  ]
  return new TextEncoder().encode(lines.join('\n'))
}

function dimSizeOf(file: string, fields: MetaFields): readonly number[] {
  const kind = fields.get('ObjectType')
  if (kind !== undefined && kind.toLowerCase() !== 'image') throw notDensity(file, 'a shape')
  const dimensions = Number(fields.get('NDims'))
  const sizes = readNumbers(fields.get('DimSize') ?? '')
  const sound = isWhole(dimensions, 1) && dimensions <= 10 && sizes?.length === dimensions
  if (!sound || !sizes.every((n) => isWhole(n, 1)))
    throw damaged(file, 'its number of voxels cannot be right')
  const [columns = 1, rows = 1, slices = 1, ...more] = sizes
  const volumes = more.reduce((product, n) => product * n, 1)
  if (volumes > 1) throw notOneVolume(file, `${volumes} volumes`)
  if (Math.min(columns, rows, slices) < 2) throw notAVolume(file, 'one image')
  return sizes
}

function typeOf(file: string, fields: MetaFields): ComponentType {
  const channels = Number(fields.get('ElementNumberOfChannels') ?? 1)
  if (channels !== 1) throw notDensity(file, `${channels} numbers for each voxel`)
  const name = fields.get('ElementType') ?? ''
  if (/_(ARRAY|MATRIX)$/.test(name)) throw notDensity(file, 'several numbers for each voxel')
  const type = TYPES[name]
  if (!type) throw damaged(file, 'its type of numbers is not known')
  return type
}

function scaleOf(file: string, fields: MetaFields): GreyScale {
  const slope = Number(fields.get('ElementToIntensityFunctionSlope') ?? 1)
  const intercept = Number(fields.get('ElementToIntensityFunctionOffset') ?? 0)
  if (slope !== 0 && Math.abs(slope) <= 1e9 && Math.abs(intercept) <= 1e9) return { slope, intercept }
  const message = `${file}: its scale of grey values (ElementToIntensityFunction) cannot be right. Export the volume again.`
  throw new FindingError(block('rescale-implausible', message, [file]))
}
