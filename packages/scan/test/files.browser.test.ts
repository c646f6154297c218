import { zipSeries } from '@alveometer/phantom'
import { expect, it } from 'vitest'
import { inputsFromFiles, loadScan } from '../src/index.js'
import { chiralFiles, expectSameAsPhantom } from './chiral.js'

it('a zip picked in a browser becomes a volume', async () => {
  const zip = zipSeries(chiralFiles())
  const file = new File([zip as Uint8Array<ArrayBuffer>], 'scan.zip', { type: 'application/zip' })
  const { volume, report } = await loadScan(inputsFromFiles([file]))
  expectSameAsPhantom(volume)
  expect(report).toEqual([])
})

it('single files picked in a browser become a volume', async () => {
  const files = chiralFiles().map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], f.name))
  const { volume } = await loadScan(inputsFromFiles(files))
  expectSameAsPhantom(volume)
})
