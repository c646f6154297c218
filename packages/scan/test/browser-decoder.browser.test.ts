import { chiralPhantom, chiralStorage, storedPixels } from '@alveometer/phantom'
import { expect, it } from 'vitest'
import { wrapImage } from '../src/decode/wrap.js'
import { browserDecoder } from '../src/index.js'
import { jpegLsSlice } from './jpeg-ls-slice.js'

const layout = {
  rows: 32,
  columns: 32,
  frames: 1,
  samplesPerPixel: 1,
  bitsAllocated: 16,
  bitsStored: 12,
  highBit: 11,
  signed: false,
  photometric: 'MONOCHROME2',
}
const transferSyntaxUid = '1.2.840.10008.1.2.4.80'

it('decodes in the calling thread, with code from the given address and in the given order', async () => {
  const assetsBaseUrl = new URL('/node_modules/@itk-wasm/dicom/dist/pipelines', location.origin).href
  const decoder = browserDecoder({ assetsBaseUrl })
  const dicom = wrapImage({ layout, transferSyntaxUid }, jpegLsSlice)
  const image = { file: 'slice', transferSyntaxUid, layout, dicom }
  const pixels = await decoder.decode([image, image])
  const expected = Array.from(storedPixels(chiralPhantom(), 11, chiralStorage))
  expect(Array.from(pixels)).toEqual([...expected, ...expected])
  // A second call reuses what was fetched.
  expect(Array.from(await decoder.decode([image]))).toEqual(expected)
  const foreign = performance.getEntriesByType('resource').filter((r) => !r.name.startsWith(location.origin))
  expect(foreign.map((r) => r.name).filter((name) => !name.startsWith('data:'))).toEqual([])
})
