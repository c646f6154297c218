import { chiralStorage, createRandom, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { isScanError, loadScan } from '../../src/index.js'
import { nodeDecoder } from '../../src/node.js'
import { codes, inputsOf, phantom } from '../chiral.js'
import { htj2kSlice } from '../htj2k-slice.js'
import { jpegLsSlice } from '../jpeg-ls-slice.js'

const RUNS = Number(process.env.FUZZ_RUNS ?? 6000) / 100
const truth = phantom.data.slice(11 * 1024, 12 * 1024)

describe.each([
  ['JPEG-LS', '1.2.840.10008.1.2.4.80', jpegLsSlice],
  ['High-Throughput JPEG 2000', '1.2.840.10008.1.2.4.201', htj2kSlice],
])('%s', (_, TransferSyntaxUID, sound) => {
  const load = (hurt: Uint8Array, slice: number, decoder: ReturnType<typeof nodeDecoder>) => {
    const files = writeSeries(phantom, {
      storage: chiralStorage,
      syntax: 'rle',
      slices: [9, 10, 11, 12],
      meta: { TransferSyntaxUID },
      overrides: (k) => ({ PixelData: { fragments: [k === slice ? hurt : sound] } }),
    })
    return loadScan(inputsOf(files), { decoder })
  }

  it(`${RUNS} hurt codestreams: refused with the file's name, or decoded to an image of the right size; the pool lives on`, async () => {
    const decoder = nodeDecoder()
    let refused = 0
    for (let run = 0; run < RUNS; run++) {
      const random = createRandom(`codestream/${TransferSyntaxUID}/${run}`)
      const whole = (below: number) => Math.floor(random.uniform() * below)
      const hurt = Uint8Array.from(sound)
      // The markers in front are what sizes and tables are read from.
      for (let n = 1 + whole(4); n > 0; n--) hurt[whole(run % 2 ? 120 : hurt.length)] = whole(256)
      const kept = run % 5 === 0 ? hurt.subarray(0, whole(hurt.length)) : hurt
      try {
        const { volume } = await load(kept, 10, decoder)
        expect(volume.shape).toEqual([32, 32, 4])
        // The slices that are whole come out whole, whatever their neighbour did to the codec.
        expect(volume.data.slice(2 * 1024, 3 * 1024)).toEqual(truth)
      } catch (error) {
        if (!isScanError(error)) throw error
        refused++
        expect(error.message).toContain('IM0002.dcm')
        expect(error.message).not.toMatch(/^\d+$|: -?\d+\.?$/)
        expect(codes(error.report)).not.toContain('no-decoder')
      }
    }
    expect(refused).toBeGreaterThan(RUNS / 10)
    await expect(load(sound, 10, decoder)).resolves.toBeDefined()
    decoder.close()
  })
})
