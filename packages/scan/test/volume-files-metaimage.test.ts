import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { deflateSync, gzipSync } from 'node:zlib'
import { fromFrame, multiply, type Vec3 } from '@alveometer/core'
import { metaWriteImageNode, niftiWriteImageNode, nrrdWriteImageNode } from '@itk-wasm/image-io'
import { Image, ImageType, IntTypes, PixelTypes } from 'itk-wasm'
import { describe, expect, it } from 'vitest'
import { inputFromBytes } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import { decodeVolumeFile, readVolumeHeader, volumeFileKind } from '../src/volume-files/index.js'
import { codes, phantom } from './chiral.js'
import {
  bytesOf,
  everyLayout,
  expectItkAgrees,
  expectMarks,
  file,
  input,
  type Laid,
  layPhantom,
  loadVolumeFile,
  reader,
  refusal,
  swapped,
} from './volume-files.js'

const asScanned = layPhantom('+x', '+y', '+z')
const raw = bytesOf(asScanned.data)
const sliceBytes = 32 * 32 * 2
const slices = Array.from({ length: 24 }, (_, k) => raw.subarray(k * sliceBytes, (k + 1) * sliceBytes))

type Fields = Record<string, string | undefined>

/** A MetaImage header by MetaIO's table of tags; `fields` replace, undefined leaves out. */
function header(fields: Fields = {}, laid: Laid = asScanned): string {
  const { ElementDataFile, ...others } = { ElementDataFile: 'LOCAL', ...fields }
  const all: Fields = {
    ObjectType: 'Image',
    NDims: '3',
    BinaryData: 'True',
    BinaryDataByteOrderMSB: 'False',
    CompressedData: 'False',
    TransformMatrix: laid.directions.flat().join(' '),
    Offset: laid.origin.join(' '),
    CenterOfRotation: '0 0 0',
    AnatomicalOrientation: 'RAI',
    DistanceUnits: 'mm',
    ElementSpacing: `${laid.spacing} ${laid.spacing} ${laid.spacing}`,
    DimSize: laid.shape.join(' '),
    ElementType: 'MET_SHORT',
    ...others,
  }
  const lines = Object.entries(all).flatMap(([key, value]) =>
    value === undefined ? [] : [`${key} = ${value}`],
  )
  return [...lines, `ElementDataFile = ${ElementDataFile}`, ''].join('\n')
}

const local = (fields: Fields = {}, data: Uint8Array | string = raw) =>
  input('scan.mha', header(fields), data)

it('told from its content', () => {
  expect(volumeFileKind(file(header()))).toBe('metaimage')
  expect(volumeFileKind(file('NDims = 3\nDimSize = 2 2 2\n'))).toBe('metaimage')
  expect(volumeFileKind(file('Name = somebody\nage = 3\n'))).toBeNull()
})

describe('orientation', () => {
  it.each(everyLayout)('voxels laid out along %s %s %s keep their places', async (...sides) => {
    const laid = layPhantom(...sides)
    const bytes = file(header({}, laid), bytesOf(laid.data))
    const { volume, header: read, report } = await loadVolumeFile(inputFromBytes('scan.mha', bytes))
    expectMarks(volume)
    expect(codes(report)).toEqual(['grey-unit-unknown'])
    await expectItkAgrees('metaimage', { path: 'scan.mha', data: bytes }, read, 9)
  })

  it.each([
    ['Rotation', 'Position'],
    ['Orientation', 'Origin'],
  ])('older names: %s and %s', async (matrix, offset) => {
    const laid = layPhantom('-y', '+z', '-x')
    const fields = {
      TransformMatrix: undefined,
      Offset: undefined,
      [matrix]: laid.directions.flat().join(' '),
      [offset]: laid.origin.join(' '),
    }
    expectMarks((await loadVolumeFile(input('scan.mha', header(fields, laid), bytesOf(laid.data)))).volume)
  })

  it('none: nobody knows where left is, whatever the letters say', async () => {
    const read = await readVolumeHeader(local({ TransformMatrix: undefined }), [])
    expect([read.questions, read.indexToWorld]).toEqual([['orientation'], null])
    expect(read.spacingMm).toEqual([0.3, 0.3, 0.3])
  })

  it.each([
    ['1 0 0 0 1 0 0 0 2', 'bad-orientation'],
    ['0 0 0 0 0 0 0 0 0', 'bad-orientation'],
    ['1 0 0 0 1 0 0 0 nan', 'bad-orientation'],
    ['1 0 0 0.02 0.9998 0 0 0 1', 'sheared-volume'],
    ['1 0 0 0 1 0 0 0', 'volume-file-damaged'],
    ['1 0 0 0 1 0 0 0 one', 'volume-file-damaged'],
  ])('TransformMatrix %s: %s', async (matrix, code) => {
    expect((await refusal(local({ TransformMatrix: matrix }))).code).toBe(code)
  })

  it('two positions that contradict each other; two that do not', async () => {
    expect((await refusal(local({ Position: '1 2 3' }))).message).toContain('"Offset" and "Position"')
    expectMarks((await loadVolumeFile(local({ Position: '0.0 0.0 0.0' }))).volume)
  })
})

describe('lengths', () => {
  it('ElementSize is not spacing', async () => {
    const read = await readVolumeHeader(local({ ElementSpacing: undefined, ElementSize: '0.3 0.3 0.3' }), [])
    expect([read.questions, read.spacingMm, read.indexToWorld]).toEqual([
      ['pixel-spacing', 'slice-step'],
      null,
      null,
    ])
    expect(read.directions).toEqual([
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ])
  })

  it.each([
    ['um', 1000],
    ['cm', 0.1],
  ])('unit %s', async (unit, perMm) => {
    const laid = layPhantom('-x', '+y', '-z')
    const fields = {
      DistanceUnits: unit,
      ElementSpacing: laid.shape.map(() => 0.3 * perMm).join(' '),
      Offset: laid.origin.map((c) => c * perMm).join(' '),
    }
    expectMarks((await loadVolumeFile(input('scan.mha', header(fields, laid), bytesOf(laid.data)))).volume)
  })

  it.each([undefined, '?'])('unit %s: millimetres, said so', async (unit) => {
    const read = await readVolumeHeader(local({ DistanceUnits: unit }), [])
    expect(codes(read.report)).toEqual(['unit-assumed-mm', 'grey-unit-unknown'])
  })

  it('exactly 1 x 1 x 1 mm', async () => {
    const read = await readVolumeHeader(local({ ElementSpacing: '1 1 1' }), [])
    expect(codes(read.report)).toEqual(['spacing-placeholder', 'grey-unit-unknown'])
  })

  it.each(['0.3 0.3 0', '0.3 0.3 -0.3', '0.3 nan 0.3', '0.3 0.3 51', '0.3 0.3 0.0001'])(
    'ElementSpacing %s is refused',
    async (spacing) => {
      expect((await refusal(local({ ElementSpacing: spacing }))).code).toBe('bad-spacing')
    },
  )
})

describe('voxels', () => {
  const counted = Array.from({ length: 24 }, (_, i) => i)
  const small = { DimSize: '2 3 4' }

  it.each([
    ['MET_CHAR', Int8Array.from(counted)],
    ['MET_UCHAR', Uint8Array.from(counted)],
    ['MET_SHORT', Int16Array.from(counted)],
    ['MET_USHORT', Uint16Array.from(counted)],
    ['MET_INT', Int32Array.from(counted)],
    ['MET_UINT', Uint32Array.from(counted)],
    ['MET_LONG', Int32Array.from(counted)],
    ['MET_ULONG', Uint32Array.from(counted)],
    ['MET_LONG_LONG', BigInt64Array.from(counted, BigInt)],
    ['MET_ULONG_LONG', BigUint64Array.from(counted, BigInt)],
    ['MET_FLOAT', Float32Array.from(counted)],
    ['MET_DOUBLE', Float64Array.from(counted)],
  ])('%s', async (type, data) => {
    const { volume } = await loadVolumeFile(local({ ...small, ElementType: type }, bytesOf(data)))
    expect(Array.from(volume.data)).toEqual(counted)
  })

  it('what is no number is no data', async () => {
    const values = Float32Array.from(counted, (n) => (n === 3 ? Number.NaN : n / 2))
    const read = await readVolumeHeader(local({ ...small, ElementType: 'MET_FLOAT' }, bytesOf(values)), [])
    const { data, noData, report } = await decodeVolumeFile(read, reader)
    expect([data[2], data[3], data[4]]).toEqual([1, noData, 2])
    expect(codes(report)).toEqual(['no-number'])
  })

  it.each(['BinaryDataByteOrderMSB', 'ElementByteOrderMSB'])('big endian by %s', async (key) => {
    const fields = { BinaryDataByteOrderMSB: undefined, [key]: 'True' }
    expectMarks((await loadVolumeFile(local(fields, swapped(asScanned.data)))).volume)
  })

  it('packed, with and without its size, by zlib or gzip', async () => {
    const packed = deflateSync(raw)
    const size = { CompressedData: 'True', CompressedDataSize: String(packed.length) }
    expectMarks((await loadVolumeFile(local(size, packed))).volume)
    expectMarks((await loadVolumeFile(local(size, file(packed, 'something else')))).volume)
    expectMarks((await loadVolumeFile(local({ CompressedData: 'True' }, packed))).volume)
    expectMarks((await loadVolumeFile(local({ CompressedData: 'True' }, gzipSync(raw)))).volume)
  })

  it('a scale of grey values', async () => {
    const fields = { ElementToIntensityFunctionSlope: '2', ElementToIntensityFunctionOffset: '-1000' }
    const { volume } = await loadVolumeFile(local(fields))
    expect(Array.from(volume.data)).toEqual(Array.from(phantom.data, (v) => 2 * v - 1000))
  })

  it('without the lines that only say what is usual', async () => {
    const fields = {
      ObjectType: undefined,
      BinaryData: undefined,
      BinaryDataByteOrderMSB: undefined,
      CompressedData: undefined,
    }
    expectMarks((await loadVolumeFile(local(fields))).volume)
  })

  it('lines that end as on Windows', async () => {
    expectMarks((await loadVolumeFile(input('scan.mha', header().replaceAll('\n', '\r\n'), raw))).volume)
  })

  it('a fourth axis of 1', async () => {
    const fields = {
      NDims: '4',
      DimSize: '32 32 24 1',
      TransformMatrix: '1 0 0 0 0 1 0 0 0 0 1 0 0 0 0 1',
      Offset: '0 0 0 0',
      ElementSpacing: '0.3 0.3 0.3 1',
    }
    expectMarks((await loadVolumeFile(local(fields))).volume)
  })
})

describe('voxels in other files', () => {
  const detached = (fields: Fields) => input('a/scan.mhd', header(fields))

  it('one, raw or packed', async () => {
    expectMarks(
      (await loadVolumeFile(detached({ ElementDataFile: 'scan.raw' }), [input('a/scan.raw', raw)])).volume,
    )
    const zraw = [input('a/scan.zraw', deflateSync(raw))]
    expectMarks(
      (await loadVolumeFile(detached({ ElementDataFile: 'scan.zraw', CompressedData: 'True' }), zraw)).volume,
    )
  })

  it.each(['7', '-1'])('bytes before them: HeaderSize %s', async (size) => {
    const data = [input('a/scan.raw', '1234567', raw)]
    expectMarks(
      (await loadVolumeFile(detached({ ElementDataFile: 'scan.raw', HeaderSize: size }), data)).volume,
    )
  })

  it.each(['s%02d.raw', 's%02d.raw 1', 's%02d.raw 1 24', 's%02d.raw 1 24 1'])(
    'numbered: %s',
    async (pattern) => {
      const data = slices.map((s, k) => input(`a/s${String(k + 1).padStart(2, '0')}.raw`, s))
      expectMarks((await loadVolumeFile(detached({ ElementDataFile: pattern }), data.reverse())).volume)
    },
  )

  it.each([
    ['LIST', slices],
    ['LIST 2D', slices],
    ['LIST 3D', [raw]],
  ])('%s', async (list, pieces) => {
    const data = pieces.map((s, k) => input(`a/slice ${k}`, s))
    const main = input(
      'a/scan.mhd',
      header({ ElementDataFile: list }),
      data.map((d) => d.name.slice(2)).join('\n'),
    )
    expectMarks((await loadVolumeFile(main, data)).volume)
  })

  it('a list longer than the first bytes that are read', async () => {
    const names = slices.map((_, k) => `${'long/'.repeat(700)}${k}`)
    const main = input('scan.mhd', header({ ElementDataFile: 'LIST' }), names.join('\n'))
    expectMarks(
      (
        await loadVolumeFile(
          main,
          slices.map((s, k) => input(names[k], s)),
        )
      ).volume,
    )
  })

  it('a list that is too short, a pattern that goes on', async () => {
    const main = input('scan.mhd', header({ ElementDataFile: 'LIST' }), 'a\nb\n')
    expect((await refusal(main)).message).toContain('2 of 24')
    expect((await refusal(detached({ ElementDataFile: 's%d.raw 1 25 1' }))).code).toBe('volume-file-damaged')
  })

  it('not there: the file to pick with it is named', async () => {
    const finding = await refusal(detached({ ElementDataFile: 'scan.raw' }))
    expect([finding.code, finding.message.includes('scan.raw')]).toEqual(['data-file-missing', true])
  })

  it('longer than promised: said so', async () => {
    const read = await readVolumeHeader(detached({ ElementDataFile: 'scan.raw' }), [
      input('a/scan.raw', raw, 'x'),
    ])
    expect(codes(read.report)).toEqual(['data-left-over', 'grey-unit-unknown'])
  })
})

describe('refused', () => {
  it.each<[string, Fields, string]>([
    ['written as text', { BinaryData: 'False' }, 'unsupported-encoding'],
    ['colour', { ElementNumberOfChannels: '3' }, 'not-a-density-image'],
    ['vectors', { ElementType: 'MET_FLOAT_ARRAY' }, 'not-a-density-image'],
    ['a tube', { ObjectType: 'Tube' }, 'not-a-density-image'],
    ['four volumes', { NDims: '4', DimSize: '32 32 6 4' }, 'not-one-volume'],
    ['one image', { NDims: '2', DimSize: '32 768' }, 'not-a-volume'],
    ['a type nobody knows', { ElementType: 'MET_STRING' }, 'volume-file-damaged'],
    ['no sizes', { DimSize: undefined }, 'volume-file-damaged'],
    ['a size of zero', { DimSize: '32 0 24' }, 'volume-file-damaged'],
    ['sizes of two axes', { DimSize: '32 32' }, 'volume-file-damaged'],
    ['a size no number holds', { DimSize: '1e400 32 24' }, 'volume-file-damaged'],
    ['more than there is room for', { DimSize: '30000 30000 30000' }, 'too-large'],
    ['more than the file holds', { DimSize: '1000 1000 1000' }, 'file-truncated'],
    ['no data file', { ElementDataFile: '' }, 'volume-file-damaged'],
    ['HeaderSize that is none', { HeaderSize: '-2' }, 'volume-file-damaged'],
    ['packed and counted from the end', { HeaderSize: '-1', CompressedData: 'True' }, 'unsupported-encoding'],
    [
      'packed size beyond the file',
      { CompressedDataSize: '1000000', CompressedData: 'True' },
      'file-truncated',
    ],
    ['a scale of zero', { ElementToIntensityFunctionSlope: '0' }, 'rescale-implausible'],
  ])('%s', async (_, fields, code) => {
    expect((await refusal(local(fields))).code).toBe(code)
  })

  it('a header that never ends', async () => {
    expect((await refusal(input('scan.mha', header().split('ElementDataFile')[0]))).code).toBe(
      'file-truncated',
    )
  })

  it.each([
    ['cut', deflateSync(raw).subarray(0, 900)],
    ['unpacking to less', deflateSync(raw.subarray(2))],
    ['not packed at all', raw],
  ])('packed, %s', async (_, data) => {
    expect((await refusal(local({ CompressedData: 'True' }, data))).code).toMatch(
      /file-truncated|decode-failed/,
    )
  })

  it('two lines that contradict each other', async () => {
    expect((await refusal(local({ DimSize: '32 32 24\nDimSize = 16 64 24' }))).message).toContain(
      '"DimSize" twice',
    )
  })
})

describe('what ITK writes', () => {
  // A turn about a slanted axis: no entry of the matrix is 0 and it is not symmetric (Rodrigues, 40 degrees).
  const [c, s, n] = [Math.cos(0.7), Math.sin(0.7), [2 / 7, 3 / 7, 6 / 7]]
  const turn = [0, 1, 2].map((row) =>
    [0, 1, 2].map((column) => {
      const axis = (3 - row - column) % 3
      const sign = (column - row + 3) % 3 === 1 ? -1 : 1
      const skew = row === column ? 0 : sign * n[axis]
      return (row === column ? c : 0) + (1 - c) * n[row] * n[column] + s * skew
    }),
  )
  const columns = [0, 1, 2].map((axis) => [turn[0][axis], turn[1][axis], turn[2][axis]] as Vec3)
  const shift: Vec3 = [-12.5, 30.25, 104]
  const moved = fromFrame(columns[0], columns[1], columns[2], shift)

  function image(): Image {
    const type = new ImageType(3, IntTypes.Int16, PixelTypes.Scalar, 1)
    return Object.assign(new Image(type), {
      size: [...phantom.shape],
      spacing: [0.3, 0.3, 0.3],
      origin: [...shift],
      direction: Float64Array.from(turn.flat()),
      data: asScanned.data.slice(),
    })
  }

  it.each([
    ['scan.mha', metaWriteImageNode, false],
    ['scan.mha', metaWriteImageNode, true],
    ['scan.mhd', metaWriteImageNode, false],
    ['scan.mhd', metaWriteImageNode, true],
    ['scan.nrrd', nrrdWriteImageNode, false],
    ['scan.nrrd', nrrdWriteImageNode, true],
    ['scan.nhdr', nrrdWriteImageNode, true],
    ['scan.nii', niftiWriteImageNode, false],
    ['scan.nii.gz', niftiWriteImageNode, false],
  ])('%s (%o, packed: %s), turned and moved', async (name, write, useCompression) => {
    const folder = mkdtempSync(join(tmpdir(), 'itk-'))
    try {
      await write(image(), join(folder, name), { useCompression })
      const inputs = await inputsFromPath(folder)
      const main = inputs.find((i) => i.name === name)
      if (!main) throw new Error(`${name} was not written`)
      const { volume, header: read } = await loadVolumeFile(main, inputs)
      expectMarks(volume, moved)
      expect(Array.from(volume.data)).toEqual(Array.from(phantom.data))
      const expected = multiply(moved, phantom.indexToWorld)
      for (const [i, value] of (read.indexToWorld ?? []).entries()) expect(value).toBeCloseTo(expected[i], 5)
      expect(read.parts.length).toBe(inputs.length)
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})
