import { chiralPhantom } from '@alveometer/phantom'
import { expect, it } from 'vitest'
import { inputsFromFiles } from '../src/index.js'
import { browserVolumeFileReader, decodeVolumeFile, readVolumeHeader } from '../src/volume-files/index.js'

const { data, shape } = chiralPhantom()
const assetsBaseUrl = new URL('/node_modules/@itk-wasm/image-io/dist/pipelines', location.origin).href
const reader = browserVolumeFileReader({ assetsBaseUrl })
const raw = new Uint8Array(data.buffer, data.byteOffset, data.byteLength).slice()

async function packed(
  bytes: Uint8Array<ArrayBuffer>,
  format: 'gzip' | 'deflate',
): Promise<Uint8Array<ArrayBuffer>> {
  const stream = new Blob([bytes]).stream().pipeThrough(new CompressionStream(format))
  return new Uint8Array(await new Response(stream).arrayBuffer())
}

function niftiHeader(): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(352))
  view.setInt32(0, 348, true)
  for (const [i, n] of [3, ...shape, 1, 1, 1, 1].entries()) view.setInt16(40 + 2 * i, n, true)
  for (const [at, n] of [
    [70, 4],
    [72, 16],
    [254, 1],
  ])
    view.setInt16(at, n, true)
  for (const [i, n] of [1, 0.3, 0.3, 0.3, 352].entries()) view.setFloat32(i < 4 ? 76 + 4 * i : 108, n, true)
  view.setUint8(123, 2)
  for (const [i, n] of [-0.3, 0, 0, 0, 0, -0.3, 0, 0, 0, 0, 0.3, 0].entries())
    view.setFloat32(280 + 4 * i, n, true)
  view.setUint32(344, 0x312b6e, true)
  return new Uint8Array(view.buffer)
}

const nrrd = `NRRD0004
type: short
dimension: 3
sizes: ${shape.join(' ')}
space: left-posterior-superior
space directions: (0.3,0,0) (0,0.3,0) (0,0,0.3)
space origin: (0,0,0)
endian: little
encoding: gzip
data file: Übung œ.gz
`

const metaImage = `ObjectType = Image
NDims = 3
CompressedData = True
TransformMatrix = 1 0 0 0 1 0 0 0 1
Offset = 0 0 0
ElementSpacing = 0.3 0.3 0.3
DimSize = ${shape.join(' ')}
ElementType = MET_SHORT
ElementDataFile = LOCAL
`

it('reads each kind of file in the calling thread, with code from the given address only', async () => {
  const nifti = new Blob([niftiHeader(), raw])
  const picks = [
    [new File([await packed(new Uint8Array(await nifti.arrayBuffer()), 'gzip')], 'scan.nii.gz')],
    [new File([nrrd], 'scan.nhdr'), new File([await packed(raw, 'gzip')], 'Übung œ.gz')],
    [new File([metaImage, await packed(raw, 'deflate')], 'scan.mha')],
  ]
  for (const files of picks) {
    const inputs = inputsFromFiles(files)
    const header = await readVolumeHeader(inputs[0], inputs)
    const { data: voxels, report } = await decodeVolumeFile(header, reader)
    expect(report).toEqual([])
    expect(Array.from(voxels)).toEqual(Array.from(data))
    for (const [i, value] of (header.indexToWorld ?? []).entries())
      expect(value).toBeCloseTo([0, 5, 10].includes(i) ? 0.3 : i === 15 ? 1 : 0, 6)
  }
  const foreign = performance.getEntriesByType('resource').filter((r) => !r.name.startsWith(location.origin))
  expect(foreign.map((r) => r.name).filter((name) => !name.startsWith('data:'))).toEqual([])
})

it('a packed file that is cut short or hurt is refused', async () => {
  const whole = await packed(raw, 'deflate')
  const hurt = whole.slice()
  hurt[hurt.length - 2] ^= 1
  for (const bytes of [whole.slice(0, 900), hurt, new Uint8Array()]) {
    const inputs = inputsFromFiles([new File([metaImage, bytes], 'scan.mha')])
    const work = async () => decodeVolumeFile(await readVolumeHeader(inputs[0], inputs), reader)
    await expect(work()).rejects.toHaveProperty('finding.level', 'block')
  }
})
