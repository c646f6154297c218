import type { Vec3 } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'
import { bytesOf, type ComponentType } from './component.js'
import { damaged, notDensity } from './findings.js'
import type { FormatHeader } from './header.js'
import { spatialAxes } from './nrrd-axes.js'
import { encodingOf, type NrrdEncoding, nrrdParts } from './nrrd-data.js'
import { type NrrdFields, readNrrdFields, splitHeader } from './nrrd-fields.js'
import { nrrdGeometry } from './nrrd-geometry.js'
import { voxelsOf } from './stored-part.js'
import { readTextHead } from './text-head.js'

const TYPES: Readonly<Record<ComponentType, readonly string[]>> = {
  int8: ['signed char', 'int8', 'int8_t'],
  uint8: ['uchar', 'unsigned char', 'uint8', 'uint8_t'],
  int16: ['short', 'short int', 'signed short', 'signed short int', 'int16', 'int16_t'],
  uint16: ['ushort', 'unsigned short', 'unsigned short int', 'uint16', 'uint16_t'],
  int32: ['int', 'signed int', 'int32', 'int32_t'],
  uint32: ['uint', 'unsigned int', 'uint32', 'uint32_t'],
  int64: [
    'longlong',
    'long long',
    'long long int',
    'signed long long',
    'signed long long int',
    'int64',
    'int64_t',
  ],
  uint64: ['ulonglong', 'unsigned long long', 'unsigned long long int', 'uint64', 'uint64_t'],
  float32: ['float'],
  float64: ['double'],
}

/** Reads an NRRD header, attached or detached. Layout: "Definition of NRRD File Format", Teem 1.9 and later. */
export async function readNrrd(
  input: ScanInput,
  siblings: readonly ScanInput[],
  signal?: AbortSignal,
): Promise<FormatHeader> {
  const { name: file } = input
  const head = await readTextHead(input, (text) => splitHeader(text).end >= 0, signal)
  const { text, end } = splitHeader(head)
  const fields = readNrrdFields(file, text)
  const [x, y, z] = spatialAxes(file, fields)
  const shape: Vec3 = [x.size, y.size, z.size]
  const componentType = typeOf(file, fields)
  const encoding = encodingOf(file, fields)
  const bigEndian = isBigEndian(file, fields, componentType, encoding)
  const geometry = nrrdGeometry(file, fields, [x, y, z])
  const bytes = voxelsOf(file, shape) * bytesOf(componentType)
  const { parts, report } = await nrrdParts(input, siblings, fields, { end, encoding, bytes }, signal)
  return {
    shape,
    given: geometry.given,
    componentType,
    scale: { slope: 1, intercept: 0 },
    report: [...geometry.report, ...report],
    stored: {
      parts,
      text: encoding === 'ascii' || encoding === 'hex',
      codedAs: componentType,
      placed: geometry.lines.length > 0,
      cleanHeader: (slices) =>
        new TextEncoder().encode(
          [
            'NRRD0004',
            `type: ${TYPES[componentType][0]}`,
            'dimension: 3',
            `sizes: ${shape[0]} ${shape[1]} ${slices}`,
            ...geometry.lines,
            `encoding: ${encoding === 'gzip' ? 'raw' : encoding}`,
            `endian: ${bigEndian ? 'big' : 'little'}`,
            '\n',
          ].join('\n'),
        ),
    },
  }
}

function typeOf(file: string, fields: NrrdFields): ComponentType {
  const name = (fields.get('type') ?? '').toLowerCase()
  const type = (Object.keys(TYPES) as ComponentType[]).find((t) => TYPES[t].includes(name))
  if (type) return type
  if (name === 'block') throw notDensity(file, 'blocks of bytes')
  throw damaged(file, 'its type of numbers is not known')
}

function isBigEndian(file: string, fields: NrrdFields, type: ComponentType, encoding: NrrdEncoding): boolean {
  const endian = fields.get('endian')?.toLowerCase()
  if (endian === 'big' || endian === 'little') return endian === 'big'
  if (bytesOf(type) === 1 || encoding === 'ascii') return false
  throw damaged(file, 'it does not say in which order the bytes of a number stand ("endian")')
}
