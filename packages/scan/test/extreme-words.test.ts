import { createVolume, sampleAt } from '@alveometer/core'
import { signedStorage, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { load, phantom } from './chiral.js'

/** Signed words from the least to the greatest, as they stand: no rescale, nothing declared as padding. */
const shape = [4, 4, 5] as const
const words = Int16Array.from({ length: 80 }, (_, n) => (n === 20 ? -32768 : n === 21 ? 32767 : n * 10))
const volume = createVolume({ data: words, shape, indexToWorld: phantom.indexToWorld })
const files = writeSeries(volume, { storage: { ...signedStorage, padding: 0 }, seed: 'extreme' })

describe('the least word of 16 bits is a value like any other', () => {
  it('in a whole scan: kept in 16 bits, and the range is found when asked for', async () => {
    const { volume } = await load(files)
    expect(volume.data).toBeInstanceOf(Int16Array)
    expect(Array.from(volume.data)).toEqual(Array.from(words))
    expect([volume.grey.minimum, volume.grey.maximum]).toEqual([-32768, 32767])
    expect(JSON.parse(JSON.stringify(volume.grey))).toEqual({
      unit: volume.grey.unit,
      minimum: -32768,
      maximum: 32767,
    })
  })

  it('beside a missing slice: never taken for no data', async () => {
    const { volume } = await load(files.filter((_, k) => k !== 3))
    expect(volume.data).toBeInstanceOf(Float32Array)
    expect(sampleAt(volume, [0, 0.3, 0.3])).toBe(-32768)
    expect(sampleAt(volume, [0, 0.3, 0.9])).toBeNull()
    expect(volume.grey.minimum).toBe(-32768)
  })
})
