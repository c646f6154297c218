import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { fromRows, invert, multiply, toRows } from '@alveometer/core'
import { afterAll, describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { describeWithData } from '../../../tests/shared-data.js'
import { inputFromBytes } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import {
  decodeVolumeFile,
  readVolumeHeader,
  type VolumeFileReader,
  volumeFileKind,
} from '../src/volume-files/index.js'
import { codes } from './chiral.js'
import {
  bytesOf,
  everyLayout,
  expectItkAgrees,
  expectMarks,
  file,
  input,
  layPhantom,
  loadVolumeFile,
  reader,
  refusal,
  swapped,
} from './volume-files.js'

/** Right, anterior, superior from left, posterior, superior. */
const RAS = fromRows([-1, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1])

/** 0.3 mm along the axes of the body, first voxel at the origin. */
const PLAIN = [-0.3, 0, 0, 0, 0, -0.3, 0, 0, 0, 0, 0.3, 0]

/** The plain affine with one of its numbers replaced. */
const plainBut = (at: number, value: number) => PLAIN.map((n, i) => (i === at ? value : n))

interface Fields {
  dim?: readonly number[]
  datatype?: number
  pixdim?: readonly number[]
  voxOffset?: number
  slope?: number
  intercept?: number
  units?: number
  intent?: number
  qform?: number
  quaternion?: readonly number[]
  sform?: number
  rows?: readonly number[]
  magic?: string
  littleEndian?: boolean
}

const asScanned = layPhantom('+x', '+y', '+z')
const raw = bytesOf(asScanned.data)

/** A NIfTI-1 header, field by field as in nifti1.h, with four bytes that tell of no extension. */
function header1(fields: Fields = {}): Uint8Array {
  const f = {
    dim: [3, ...asScanned.shape],
    datatype: 4,
    pixdim: [1, 0.3, 0.3, 0.3],
    voxOffset: 352,
    slope: 0,
    intercept: 0,
    units: 2,
    intent: 0,
    qform: 0,
    quaternion: [0, 0, 0, 0, 0, 0],
    sform: 1,
    rows: PLAIN,
    magic: 'n+1',
    littleEndian: true,
    ...fields,
  }
  const view = new DataView(new ArrayBuffer(352))
  const shorts = (at: number, values: readonly number[]) => {
    for (const [i, v] of values.entries()) view.setInt16(at + 2 * i, v, f.littleEndian)
  }
  const floats = (at: number, values: readonly number[]) => {
    for (const [i, v] of values.entries()) view.setFloat32(at + 4 * i, v, f.littleEndian)
  }
  view.setInt32(0, 348, f.littleEndian)
  shorts(40, f.dim)
  shorts(68, [f.intent, f.datatype, 16])
  floats(76, f.pixdim)
  floats(108, [f.voxOffset, f.slope, f.intercept])
  view.setUint8(123, f.units)
  shorts(252, [f.qform, f.sform])
  floats(256, f.quaternion)
  floats(280, f.rows)
  for (const [i, c] of [...f.magic].entries()) view.setUint8(344 + i, c.charCodeAt(0))
  return new Uint8Array(view.buffer)
}

const nifti = (fields: Fields = {}, data: Uint8Array = raw) => input('scan.nii', header1(fields), data)

describe('told from its content', () => {
  it.each([
    ['NIfTI-1', header1()],
    ['big endian', header1({ littleEndian: false })],
    ['packed', file(gzipSync(file(header1(), raw)))],
    ['half of a pair', header1({ magic: 'ni1' })],
  ])('%s', (_, bytes) => {
    expect(volumeFileKind(bytes.subarray(0, 4096))).toBe('nifti')
  })

  it.each([
    ['another packed file', file(gzipSync(raw))],
    ['broken packing', file(Uint8Array.of(0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 0xff, 0xff))],
    ['the start of a packed file', file(gzipSync(raw)).subarray(0, 5)],
    ['a header without its magic', header1({ magic: '' })],
    ['nothing', new Uint8Array()],
    ['DICOM', file(new Uint8Array(128), 'DICM')],
  ])('%s is none', (_, bytes) => {
    expect(volumeFileKind(bytes)).toBeNull()
  })
})

describe('orientation', () => {
  it.each(everyLayout)('voxels laid out along %s %s %s keep their places', async (...sides) => {
    const laid = layPhantom(...sides)
    const [x, y, z] = laid.directions
    const row = (c: 0 | 1 | 2, sign: number) =>
      [0.3 * x[c], 0.3 * y[c], 0.3 * z[c], laid.origin[c]].map((v) => sign * v)
    const rows = [...row(0, -1), ...row(1, -1), ...row(2, 1)]
    const bytes = file(header1({ dim: [3, ...laid.shape], rows }), bytesOf(laid.data))
    const { volume, header, report } = await loadVolumeFile(inputFromBytes('scan.nii', bytes))
    expectMarks(volume)
    expect(codes(report)).toEqual(['grey-unit-unknown'])
    await expectItkAgrees('nifti', { path: 'scan.nii', data: bytes }, header, 5)
  })

  it('neither form: nobody knows where left is', async () => {
    const header = await readVolumeHeader(nifti({ sform: 0 }), [])
    expect([header.questions, header.indexToWorld, header.directions]).toEqual([['orientation'], null, null])
    expect(header.spacingMm?.map((s) => s.toFixed(6))).toEqual(['0.300000', '0.300000', '0.300000'])
  })

  it('two forms that disagree: the sform, and said so', async () => {
    // A half turn about z (quaternion 0 0 1) is what RAS needs to be LPS; none at all is a mirror of left and front.
    const agree = await readVolumeHeader(nifti({ qform: 1, quaternion: [0, 0, 1, 0, 0, 0] }), [])
    expect(codes(agree.report)).toEqual(['grey-unit-unknown'])
    const { volume, report } = await loadVolumeFile(nifti({ qform: 1, quaternion: [0, 0, 0, 0, 0, 0] }))
    expectMarks(volume)
    expect(codes(report)).toEqual(['two-orientations', 'grey-unit-unknown'])
  })

  it('fitted to a standard head: said so', async () => {
    expect(codes((await readVolumeHeader(nifti({ sform: 4 }), [])).report)).toContain('template-space')
  })
})

describe('lengths', () => {
  it.each([
    [1, 0.001],
    [3, 1000],
  ])('unit code %d', async (units, perMm) => {
    const rows = PLAIN.map((n) => n * perMm)
    const pixdim = [1, 0.3 * perMm, 0.3 * perMm, 0.3 * perMm]
    expectMarks((await loadVolumeFile(nifti({ units, rows, pixdim }))).volume)
  })

  it('no unit: millimetres, said so', async () => {
    const { volume, report } = await loadVolumeFile(nifti({ units: 0 }))
    expectMarks(volume)
    expect(codes(report)).toEqual(['unit-assumed-mm', 'grey-unit-unknown'])
  })

  it('exactly 1 x 1 x 1 mm', async () => {
    const header = await readVolumeHeader(nifti({ rows: PLAIN.map(Math.sign), pixdim: [1, 1, 1, 1] }), [])
    expect(codes(header.report)).toEqual(['spacing-placeholder', 'grey-unit-unknown'])
  })

  it.each<[string, Fields, string]>([
    ['no spacing', { sform: 0, pixdim: [1, 0, 0, 0] }, 'bad-spacing'],
    ['a negative spacing', { sform: 0, pixdim: [1, 0.3, 0.3, -0.3] }, 'bad-spacing'],
    ['a negative spacing beside a qform', { sform: 0, qform: 1, pixdim: [1, 0.3, 0.3, -0.3] }, 'bad-spacing'],
    ['a spacing that is no number', { sform: 0, pixdim: [1, 0.3, Number.NaN, 0.3] }, 'bad-spacing'],
    ['60 mm', { sform: 0, pixdim: [1, 0.3, 0.3, 60] }, 'bad-spacing'],
    ['two voxel sizes', { pixdim: [1, 0.3, 0.3, 0.31] }, 'bad-spacing'],
    ['an sform of zeros', { rows: PLAIN.map(() => 0) }, 'bad-spacing'],
    ['an sform of no numbers', { rows: PLAIN.map(() => Number.NaN) }, 'bad-spacing'],
    ['sheared axes', { rows: plainBut(1, 0.001) }, 'sheared-volume'],
    ['a place far away', { rows: plainBut(3, 1e30) }, 'bad-number'],
  ])('%s is refused', async (_, fields, code) => {
    expect((await refusal(nifti(fields))).code).toBe(code)
  })

  it('0.05 degrees off is passed on as it is', async () => {
    const { header, report } = await loadVolumeFile(nifti({ rows: plainBut(1, 0.000261799) }))
    expect(header.indexToWorld?.[4]).toBeCloseTo(-0.000261799, 9)
    expect(codes(report)).toEqual(['grey-unit-unknown'])
  })
})

describe('what is not one volume of grey values', () => {
  it.each<[string, Fields, string]>([
    ['colour', { datatype: 128 }, 'not-a-density-image'],
    ['colour and opacity', { datatype: 2304 }, 'not-a-density-image'],
    ['complex numbers', { datatype: 32 }, 'not-a-density-image'],
    ['numbers of 16 bytes', { datatype: 1536 }, 'unsupported-encoding'],
    ['bits', { datatype: 1 }, 'unsupported-encoding'],
    ['five volumes', { dim: [4, 32, 32, 24, 5] }, 'not-one-volume'],
    ['vectors', { dim: [5, 32, 32, 24, 1, 3] }, 'not-a-density-image'],
    ['one image', { dim: [2, 32, 768] }, 'not-a-volume'],
    ['one slice', { dim: [3, 32, 768, 1] }, 'not-a-volume'],
    ['a pair of files', { magic: 'ni1' }, 'unsupported-encoding'],
    ['no axes', { dim: [0, 32, 32, 24] }, 'volume-file-damaged'],
    ['a size below zero', { dim: [3, 32, -32, 24] }, 'volume-file-damaged'],
    ['more than the file holds', { dim: [3, 1024, 1024, 1024] }, 'file-truncated'],
    ['more than there is room for', { dim: [3, 32767, 32767, 32767] }, 'too-large'],
    ['voxels inside the header', { voxOffset: 100 }, 'volume-file-damaged'],
    ['voxels at half a byte', { voxOffset: 352.5 }, 'volume-file-damaged'],
    ['voxels nowhere', { voxOffset: Number.NaN }, 'volume-file-damaged'],
    ['voxels before the file', { voxOffset: -352 }, 'volume-file-damaged'],
    ['voxels behind the file', { voxOffset: 1e9 }, 'file-truncated'],
    ['a scale beyond sense', { slope: Number.POSITIVE_INFINITY }, 'rescale-implausible'],
    ['a scale without intercept', { slope: 1, intercept: Number.NaN }, 'rescale-implausible'],
  ])('%s is refused', async (_, fields, code) => {
    expect((await refusal(nifti(fields))).code).toBe(code)
  })

  it('a label map: said so', async () => {
    expect(codes((await readVolumeHeader(nifti({ intent: 1002 }), [])).report)).toContain('label-map')
  })

  it('one volume with a fourth axis of 1', async () => {
    expectMarks((await loadVolumeFile(nifti({ dim: [4, 32, 32, 24, 1] }))).volume)
  })
})

describe('voxels', () => {
  it('from where the header says, or behind it when it does not', async () => {
    const extension = file(Uint8Array.of(1, 0, 0, 0), new Uint8Array(44))
    const behind = input('scan.nii', header1({ voxOffset: 400 }), extension, raw)
    expectMarks((await loadVolumeFile(behind)).volume)
    expectMarks(
      (
        await loadVolumeFile(
          input('scan.nii.gz', gzipSync(file(header1({ voxOffset: 400 }), extension, raw))),
        )
      ).volume,
    )
    expectMarks((await loadVolumeFile(nifti({ voxOffset: 0 }))).volume)
  })

  it('big endian', async () => {
    expectMarks((await loadVolumeFile(nifti({ littleEndian: false }, swapped(asScanned.data)))).volume)
  })

  it.each([
    ['raw', (bytes: Uint8Array) => bytes.subarray(0, bytes.length - 1)],
    ['packed', (bytes: Uint8Array) => gzipSync(bytes).subarray(0, 900)],
    ['packed, unpacking to less', (bytes: Uint8Array) => gzipSync(bytes.subarray(0, bytes.length - 1))],
    ['the header', (bytes: Uint8Array) => bytes.subarray(0, 347)],
    ['the header, packed', (bytes: Uint8Array) => gzipSync(bytes.subarray(0, 347))],
  ])('cut short is refused: %s', async (_, cut) => {
    const finding = await refusal(input('scan.nii', cut(file(header1(), raw))))
    expect(finding.code).toBe('file-truncated')
  })

  it('scales that mean none', async () => {
    for (const slope of [0, Number.NaN])
      expectMarks((await loadVolumeFile(nifti({ slope, intercept: 7 }))).volume)
  })

  it('what is no number is no data', async () => {
    const values = Float32Array.from(asScanned.data)
    values.set([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY], 5)
    const header = await readVolumeHeader(nifti({ datatype: 16 }, bytesOf(values)), [])
    const { data, noData, range, report } = await decodeVolumeFile(header, reader)
    expect(data).toBeInstanceOf(Int16Array)
    expect(noData).toBe(-32768)
    expect(Array.from(data.subarray(4, 9))).toEqual([-1000, noData, noData, noData, -1000])
    expect(range).toEqual([-1000, 1700])
    expect(codes(report)).toEqual(['no-number'])
    const half = await readVolumeHeader(nifti({ datatype: 16, slope: 0.25 }, bytesOf(values)), [])
    const scaled = await decodeVolumeFile(half, reader)
    expect(scaled.data[5]).toBe(scaled.noData)
    expect(scaled.range).toEqual([-250, 425])
  })

  it('numbers that fit 16 bits in one block and not in the next', async () => {
    // Blocks are of 32 MB: 2048 x 2048 x 4 bytes a slice, so two slices a block.
    const values = new Float32Array(2048 * 2048 * 5)
    values[0] = -5
    values[7] = Number.NaN
    values[2048 * 2048 * 2 + 1] = 40000
    values[2048 * 2048 * 4 + 2] = 0.5
    const header = await readVolumeHeader(
      nifti({ datatype: 16, dim: [3, 2048, 2048, 5] }, bytesOf(values)),
      [],
    )
    const slices: number[] = []
    const { data, noData } = await decodeVolumeFile(header, reader, undefined, (done) => slices.push(done))
    expect(slices).toEqual([2, 5])
    expect(data).toBeInstanceOf(Float32Array)
    expect([data[0], data[7], data[2048 * 2048 * 2 + 1], data[2048 * 2048 * 4 + 2]]).toEqual([
      -5,
      noData,
      40000,
      0.5,
    ])
  })

  it('an abort stops the work', async () => {
    const stop = new AbortController()
    const header = await readVolumeHeader(
      input('scan.nii.gz', gzipSync(file(header1(), raw))),
      [],
      stop.signal,
    )
    const half: VolumeFileReader = {
      read: async (...args) => {
        stop.abort()
        return reader.read(...args)
      },
    }
    await expect(decodeVolumeFile(header, half, stop.signal)).rejects.toHaveProperty('name', 'AbortError')
    await expect(readVolumeHeader(nifti(), [], stop.signal)).rejects.toHaveProperty('name', 'AbortError')
  })
})

describe('the answer of the decoder', () => {
  const answering = (change: (image: Awaited<ReturnType<typeof reader.read>>) => object) => ({
    read: async (...args: Parameters<typeof reader.read>) => {
      const image = await reader.read(...args)
      return { ...image, ...change(image) }
    },
  })

  it.each<[string, Parameters<typeof answering>[0]]>([
    ['other size', ({ size }) => ({ size: [size[1], size[0], 7] })],
    ['other type', ({ data }) => ({ data: Int32Array.from(data as Int16Array) })],
    ['fewer voxels', ({ data }) => ({ data: (data as Int16Array).subarray(1) })],
    ['more than one number each', () => ({ imageType: { components: 2 } })],
    ['nothing', () => ({ data: null })],
  ])('%s is refused', async (_, change) => {
    const header = await readVolumeHeader(nifti(), [])
    await expect(decodeVolumeFile(header, answering(change))).rejects.toHaveProperty(
      'finding.code',
      'decode-failed',
    )
  })

  it('other places are reported, ours count', async () => {
    const header = await readVolumeHeader(nifti(), [])
    const mirrored = answering(({ origin }) => ({ origin: [origin[0] + 9.3, origin[1], origin[2]] }))
    const { report } = await decodeVolumeFile(header, mirrored)
    expect(report.map((r) => [r.level, r.code, r.facts])).toEqual([
      ['warn', 'reader-disagrees', { largestMm: 9.3 }],
    ])
  })
})

describeWithPython('against nibabel', ['numpy', 'nibabel'], (run) => {
  const folder = mkdtempSync(join(tmpdir(), 'nifti-'))
  afterAll(() => rmSync(folder, { recursive: true }))
  // Writes each case, reads it back, and tells affine and grey values as nibabel has them.
  const told = JSON.parse(
    run(
      `
import sys, json, warnings, numpy as np, nibabel as nib
warnings.simplefilter('ignore')
folder = sys.argv[1]
rng = np.random.default_rng(20240501)
shape = (7, 6, 5)

def turn(x, y, z):
    c, s = np.cos([x, y, z]), np.sin([x, y, z])
    return (np.array([[1,0,0],[0,c[0],-s[0]],[0,s[0],c[0]]]) @ np.array([[c[1],0,s[1]],[0,1,0],[-s[1],0,c[1]]])
            @ np.array([[c[2],-s[2],0],[s[2],c[2],0],[0,0,1]]))

def affine(rotation, zooms, origin):
    a = np.eye(4); a[:3,:3] = rotation @ np.diag(zooms); a[:3,3] = origin; return a

oblique = affine(turn(0.3, -0.5, 1.1), (0.25, 0.4, 0.3), (-31.7, 12.25, 104.5))
mirror = affine(turn(0.3, -0.5, 1.1) @ np.diag([-1, 1, 1]), (0.25, 0.4, 0.3), (11, -12, 13))
upside = affine(turn(np.pi, 0.0, 0.0), (0.2, 0.2, 0.5), (0, 0, 0))
cases = []

def add(name, data, aff, kind=nib.Nifti1Image, ext='.nii', big=False, slope=None, form='s', units='mm'):
    header = kind.header_class(endianness='>' if big else '<')
    header.set_data_dtype(data.dtype.newbyteorder('>' if big else '<'))
    image = kind(data, None, header)
    image.set_sform(aff if 's' in form else None, 1 if 's' in form else 0)
    if 'q' in form: image.set_qform(aff, 1)
    else: image.header['qform_code'] = 0
    image.header.set_zooms(np.sqrt((aff[:3,:3] ** 2).sum(0)))
    image.header.set_xyzt_units(units)
    path = f'{folder}/{name}{ext}'
    if slope is None and form: nib.save(image, path)
    else:
        # Header and stored numbers exactly as they are here: saving would fit both to each other.
        if slope: image.header.set_slope_inter(*slope)
        image.header['vox_offset'] = len(image.header.binaryblock) + 4
        raw = image.header.binaryblock + b'\\0\\0\\0\\0'
        open(path, 'wb').write(raw + data.astype(data.dtype.newbyteorder('>' if big else '<')).tobytes(order='F'))
    back = nib.load(path)
    grey = np.asarray(back.get_fdata(dtype=np.float64))
    grey.ravel(order='F').astype('<f8').tofile(f'{folder}/{name}.grey')
    cases.append(dict(name=name, file=name + ext, affine=back.affine.tolist(), shape=list(back.shape),
                      dtype=str(back.get_data_dtype().newbyteorder('=')), coded=form != ''))

def whole(dtype):
    info = np.iinfo(dtype); low, high = max(info.min, -2**40), min(info.max, 2**40)
    return rng.integers(low, high, shape, dtype=np.int64, endpoint=True).astype(dtype)

for kind, version in ((nib.Nifti1Image, 1), (nib.Nifti2Image, 2)):
    for big in (False, True):
        for dtype in ('int8', 'uint8', 'int16', 'uint16', 'int32', 'uint32', 'int64', 'uint64'):
            add(f'{dtype}-{version}-{big}', whole(dtype), oblique, kind, big=big)
        for dtype in ('float32', 'float64'):
            add(f'{dtype}-{version}-{big}', rng.normal(0, 900, shape).astype(dtype), mirror, kind, big=big)
    add(f'packed-{version}', whole('int16'), oblique, kind, ext='.nii.gz')
    for n, slope in enumerate(((0.5, -1000), (2, 0), (1, -1024), (-1.25, 3.5))):
        add(f'scaled-{version}-{n}', whole('int16'), oblique, kind, slope=slope)
    for n, aff in enumerate((oblique, mirror, upside)):
        add(f'qform-{version}-{n}', whole('int16'), aff, kind, form='q')
        add(f'both-{version}-{n}', whole('int16'), aff, kind, form='sq')
    add(f'none-{version}', whole('int16'), oblique, kind, form='')
print(json.dumps(cases))
`,
      [folder],
    ),
  ) as readonly {
    name: string
    file: string
    affine: number[][]
    shape: number[]
    dtype: string
    coded: boolean
  }[]

  it.each(told)(
    '$name: affine and every grey value',
    async ({ name, file: path, affine, shape, dtype, coded }) => {
      const main = inputFromBytes(path, readFileSync(join(folder, path)))
      const header = await readVolumeHeader(main, [])
      const { data, noData, report } = await decodeVolumeFile(header, reader)
      expect(header.shape).toEqual(shape)
      expect(header.componentType).toBe(dtype)
      expect(noData).toBeUndefined()
      expect(codes(report)).toEqual([])
      const grey = readFileSync(join(folder, `${name}.grey`))
      const theirs = new Float64Array(grey.buffer.slice(grey.byteOffset, grey.byteOffset + grey.length))
      expect(Array.from(data)).toEqual(
        Array.from(theirs, (v) => (data instanceof Float32Array ? Math.fround(v) : v)),
      )
      if (!coded) {
        expect(header.questions).toEqual(['orientation'])
        return
      }
      // Both map the same index to the same place: ours in LPS, theirs in RAS. Compared at both ends of the volume.
      const theirsLps = multiply(RAS, fromRows(affine.flat()))
      expect(header.questions).toEqual([])
      const ours = toRows(header.indexToWorld ?? [])
      for (const [n, value] of toRows(theirsLps).entries()) {
        const farthest = n % 4 < 3 ? shape[n % 4] - 1 : 1
        expect(Math.abs(ours[n] - value) * farthest).toBeLessThan(1e-4)
      }
      expect(multiply(invert(theirsLps), header.indexToWorld ?? []).every(Number.isFinite)).toBe(true)
    },
  )
})

// Numbers as the data's own notes give them (nibabel 5.0.0).
describeWithData('a label map of a jaw', 'jaw-labels-nifti', (folder) => {
  const loaded = (async () => {
    const inputs = await inputsFromPath(folder)
    const main = inputs.find((i) => i.name === 'jaw-labels.nii.gz')
    if (!main) throw new Error('no jaw-labels.nii.gz')
    return loadVolumeFile(main, inputs)
  })()

  it('shape, spacing and place', async () => {
    const { volume, header } = await loaded
    expect(volume.shape).toEqual([360, 360, 330])
    expect(volume.spacingMm).toEqual([0.5, 0.5, 0.5])
    expect(toRows(volume.indexToWorld).map((n) => n + 0)).toEqual([
      0.5, 0, 0, 0, 0, 0.5, 0, 0, 0, 0, 0.5, 0, 0, 0, 0, 1,
    ])
    expect(header.componentType).toBe('int16')
    expect(volume.data).toBeInstanceOf(Int16Array)
  })

  it('voxels, boxes and centroids of the labels', async () => {
    const { volume } = await loaded
    const [nx, ny, nz] = volume.shape
    const found = [1, 2, 3, 4, 5].map(() => ({
      n: 0,
      sum: [0, 0, 0],
      low: [1e9, 1e9, 1e9],
      high: [-1e9, -1e9, -1e9],
    }))
    let at = 0
    for (let k = 0; k < nz; k++)
      for (let j = 0; j < ny; j++)
        for (let i = 0; i < nx; i++) {
          const label = found[volume.data[at++] - 1]
          if (!label) continue
          label.n++
          for (const [axis, index] of [i, j, k].entries()) {
            label.sum[axis] += index / 2
            label.low[axis] = Math.min(label.low[axis], index / 2)
            label.high[axis] = Math.max(label.high[axis], index / 2)
          }
        }
    expect(
      found.map(({ n, sum, low, high }) => [n, low, high, sum.map((s) => Number((s / n).toFixed(3)))]),
    ).toEqual([
      [1446339, [18.5, 29, 63], [163, 179.5, 161], [91.574, 102.223, 106.822]],
      [309911, [35.5, 33, 20], [148.5, 117, 103.5], [91.637, 74.577, 52.144]],
      [75300, [65, 33.5, 55], [120, 76.5, 87.5], [92.163, 54.9, 66.618]],
      [63081, [59, 36, 34], [123.5, 81.5, 63], [92.031, 57.123, 50.545]],
      [6655, [49, 48.5, 30.5], [132.5, 98, 70], [91.121, 75.375, 45.282]],
    ])
  })

  it('cut in half it is refused; ITK alone fills the rest with zeros', async () => {
    const packed = readFileSync(join(folder, 'jaw-labels.nii.gz'))
    const half = inputFromBytes('half.nii.gz', packed.subarray(0, packed.length >> 1))
    expect((await refusal(half)).code).toBe('file-truncated')
    expect(gunzipSync(packed).length).toBe(352 + 2 * 360 * 360 * 330)
  })
})
