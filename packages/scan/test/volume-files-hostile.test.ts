import { gzipSync } from 'node:zlib'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inputFromBytes, type ScanInput } from '../src/index.js'
import { FindingError } from '../src/report/index.js'
import { decodeVolumeFile, readVolumeHeader, volumeFileKind } from '../src/volume-files/index.js'
import { bytesOf, file, layPhantom, reader } from './volume-files.js'

const { data } = layPhantom('+x', '+y', '+z')
const raw = bytesOf(data.subarray(0, 32 * 32 * 4))

const nrrd = `NRRD0005
type: int16
dimension: 3
space: right-anterior-superior
sizes: 32 32 4
space directions: (-0.3,0,0) (0,-0.3,0) (0,0,0.3)
kinds: domain domain domain
endian: little
encoding: raw
space origin: (1.5,-2.5,3.5)
space units: "mm" "mm" "mm"
`

const metaImage = `ObjectType = Image
NDims = 3
BinaryData = True
BinaryDataByteOrderMSB = False
TransformMatrix = 1 0 0 0 1 0 0 0 1
Offset = 1.5 -2.5 3.5
ElementSpacing = 0.3 0.3 0.3
DimSize = 32 32 4
ElementType = MET_SHORT
`

function nifti(): Uint8Array {
  const view = new DataView(new ArrayBuffer(352))
  view.setInt32(0, 348, true)
  for (const [i, n] of [3, 32, 32, 4, 1, 1, 1, 1].entries()) view.setInt16(40 + 2 * i, n, true)
  for (const [at, n] of [
    [70, 4],
    [72, 16],
    [252, 1],
    [254, 1],
  ])
    view.setInt16(at, n, true)
  for (const [i, n] of [1, 0.3, 0.3, 0.3].entries()) view.setFloat32(76 + 4 * i, n, true)
  view.setFloat32(108, 352, true)
  view.setUint8(123, 2)
  for (const [i, n] of [0.3, 0, 0, 1, 0, 0.3, 0, 2, 0, 0, 0.3, 3].entries())
    view.setFloat32(280 + 4 * i, n, true)
  for (const [i, n] of [1, 2, 3].entries()) view.setFloat32(268 + 4 * i, n, true)
  view.setUint32(344, 0x312b6e, true)
  return new Uint8Array(view.buffer)
}

const sound: Readonly<Record<string, { readonly bytes: Uint8Array; readonly header: number }>> = {
  'scan.nrrd': { bytes: file(nrrd, '\n', raw), header: nrrd.length + 1 },
  'scan.nhdr': { bytes: file(nrrd, 'data file: scan.raw\n'), header: nrrd.length + 20 },
  'packed.nrrd': { bytes: file(nrrd.replace('raw', 'gzip'), '\n', gzipSync(raw)), header: nrrd.length + 60 },
  'scan.mha': { bytes: file(metaImage, 'ElementDataFile = LOCAL\n', raw), header: metaImage.length + 24 },
  'scan.mhd': { bytes: file(metaImage, 'ElementDataFile = scan.raw\n'), header: metaImage.length + 27 },
  'scan.nii': { bytes: file(nifti(), raw), header: 352 },
  'scan.nii.gz': { bytes: file(gzipSync(file(nifti(), raw))), header: 200 },
}

/** Reading ends in a header of finite geometry and as many voxels as it says, or in a block that says something. */
async function endsWell(main: ScanInput, decode: boolean): Promise<void> {
  const siblings = [main, inputFromBytes('scan.raw', raw)]
  try {
    const header = await readVolumeHeader(main, siblings)
    const { indexToWorld, spacingMm, shape, questions } = header
    expect(indexToWorld === null).toBe(questions.length > 0)
    expect(indexToWorld?.every(Number.isFinite) ?? true).toBe(true)
    expect(spacingMm?.every((s) => s >= 0.001 && s <= 50) ?? true).toBe(true)
    expect(shape.every((n) => Number.isInteger(n) && n >= 2)).toBe(true)
    if (!decode) return
    const { data: voxels } = await decodeVolumeFile(header, reader)
    expect(voxels.length).toBe(shape[0] * shape[1] * shape[2])
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    expect(error.finding.level).toBe('block')
    expect(error.message).toContain(main.name)
  }
}

describe.each(Object.entries(sound))('%s', (name, { bytes, header }) => {
  const change = fc.tuple(
    fc.nat(header - 1),
    fc.oneof(fc.nat(255), fc.constantFrom(...Buffer.from('0123456789.-e %\n:='))),
  )
  const hurt = fc
    .tuple(
      fc.array(change, { minLength: 1, maxLength: 5 }),
      fc.oneof(fc.constant(bytes.length), fc.nat(bytes.length)),
    )
    .map(([changes, keep]) => {
      const copy = Uint8Array.from(bytes)
      for (const [at, value] of changes) copy[at] = value
      return copy.subarray(0, keep)
    })

  it('unhurt it is read', async () => {
    const main = inputFromBytes(name, bytes)
    const found = await readVolumeHeader(main, [main, inputFromBytes('scan.raw', raw)])
    const { data: voxels } = await decodeVolumeFile(found, reader)
    expect(Array.from(voxels)).toEqual(Array.from(data.subarray(0, voxels.length)))
  })

  it('any bytes of its header changed, any length: header', async () => {
    await fc.assert(
      fc.asyncProperty(hurt, (copy) => endsWell(inputFromBytes(name, copy), false)),
      { numRuns: 1000, seed: 20240601 },
    )
  })

  it('any bytes of its header changed, any length: voxels', async () => {
    await fc.assert(
      fc.asyncProperty(hurt, (copy) => endsWell(inputFromBytes(name, copy), true)),
      { numRuns: 100, seed: 20240602 },
    )
  })
})

/** Text fields with numbers that no file should have. */
describe('numbers without sense', () => {
  const silly = fc.constantFrom(
    '0',
    '-1',
    '1e308',
    '-1e308',
    '1e-308',
    'nan',
    'inf',
    '-inf',
    '',
    '2147483648',
    '0x10',
    '1,5',
    '9'.repeat(400),
  )
  const fields = [
    ['scan.nrrd', 'sizes', 3],
    ['scan.nrrd', 'dimension', 1],
    ['scan.nrrd', 'space origin', 1],
    ['scan.mha', 'NDims', 1],
    ['scan.mha', 'DimSize', 3],
    ['scan.mha', 'Offset', 3],
    ['scan.mha', 'ElementSpacing', 3],
    ['scan.mha', 'TransformMatrix', 9],
  ] as const

  it.each(fields)('%s, %s', async (name, field, count) => {
    const text = name === 'scan.nrrd' ? nrrd : metaImage
    const end = name === 'scan.nrrd' ? '\n' : 'ElementDataFile = LOCAL\n'
    const line = new RegExp(`^${field}( =|:).*$`, 'm')
    await fc.assert(
      fc.asyncProperty(fc.array(silly, { minLength: count, maxLength: count }), async (values) => {
        const changed = text.replace(line, (_, mark: string) => `${field}${mark} ${values.join(' ')}`)
        await endsWell(inputFromBytes(name, file(changed, end, raw)), true)
      }),
      { numRuns: 60, seed: 20240603 },
    )
  })
})

// Each of these made for a reader that goes over a line again and again, or makes something out of every part of it.
it.each([
  ['spaces', ' '.repeat(2 ** 20)],
  ['brackets', '('.repeat(2 ** 20)],
  ['vectors', '(1,2,3)'.repeat(2 ** 17)],
  ['quotes', '"'.repeat(2 ** 20)],
  ['numbers', '1 '.repeat(2 ** 20)],
  ['a pattern', `${'x'.repeat(2 ** 20)}%d 1 30000 1`],
  ['a name', 'x'.repeat(2 ** 20)],
])('a line of a megabyte: %s', async (_, text) => {
  for (const field of [
    'space directions',
    'space units',
    'spacings',
    'units',
    'kinds',
    'sizes',
    'data file',
    'x',
  ]) {
    const others = nrrd.replace(new RegExp(`^${field}:.*\n`, 'm'), '')
    await endsWell(inputFromBytes('scan.nrrd', file(others, `${field}: ${text}x\n\n`, raw)), true)
  }
  for (const key of [
    'TransformMatrix',
    'ElementSpacing',
    'DimSize',
    'ElementDataFile',
    'DistanceUnits',
    'x',
  ]) {
    const others = metaImage.replace(new RegExp(`^${key} =.*\n`, 'm'), '')
    const end = key === 'ElementDataFile' ? '' : 'ElementDataFile = LOCAL\n'
    await endsWell(inputFromBytes('scan.mha', file(others, `${key} = ${text}x\n`, end, raw)), true)
  }
})

it('any bytes have a kind or none, and no more', () => {
  const start = fc.constantFrom('', 'NRRD0005\n', 'ObjectType = Image\nNDims = 3\n', '\x1f\x8b\x08')
  fc.assert(
    fc.property(start, fc.uint8Array({ maxLength: 400 }), (text, rest) => {
      const kind = volumeFileKind(file(Buffer.from(text, 'latin1'), rest))
      expect(['nrrd', 'nifti', 'metaimage', null]).toContain(kind)
    }),
    { numRuns: 2000, seed: 20240604 },
  )
})

it('a file that shrinks between header and voxels is refused', async () => {
  const { bytes } = sound['scan.nrrd']
  let shrunk = false
  const main: ScanInput = {
    name: 'scan.nrrd',
    size: bytes.length,
    read: async (start = 0, end = bytes.length) => bytes.subarray(start, shrunk ? Math.min(end, 5000) : end),
  }
  const header = await readVolumeHeader(main, [main])
  shrunk = true
  await expect(decodeVolumeFile(header, reader)).rejects.toHaveProperty('finding.code', 'file-truncated')
})
