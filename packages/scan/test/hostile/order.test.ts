import { toWorld } from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import { inspectScan } from '../../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, load } from '../chiral.js'

const shuffled = (n: number) => Array.from({ length: n }, (_, k) => (k * 7) % n)

describe('slices in any order of any number', () => {
  it.each([
    ['all Instance Numbers equal', () => ({ InstanceNumber: 1 }), ['order-by-position']],
    ['Instance Number empty, as its type allows', () => ({ InstanceNumber: '' }), []],
    ['no Instance Number', () => ({ InstanceNumber: undefined }), []],
    [
      'Instance Numbers of another order',
      (k: number) => ({ InstanceNumber: (k * 11) % 24 }),
      ['order-by-position'],
    ],
    ['Slice Location contradicts the positions', (k: number) => ({ SliceLocation: -5 * k }), []],
    ['Instance Number is no number', () => ({ InstanceNumber: { vr: 'IS', value: 'IM 7' } }), []],
  ] as const)('%s, files shuffled: bit for bit the same volume', async (_, overrides, expected) => {
    const files = chiralFiles({ overrides, slices: shuffled(24) })
    const { volume, report } = await load(files)
    expectSameAsPhantom(volume)
    expect(codes(report)).toEqual(expected)
    expect(report.every((r) => r.level === 'note')).toBe(true)
  })

  it('from top to bottom, numbered 1 to 24: the third axis still leads from the lowest slice to the highest', async () => {
    const files = chiralFiles({
      slices: Array.from({ length: 24 }, (_, n) => 23 - n),
      overrides: (k) => ({ InstanceNumber: 24 - k }),
    })
    const { volume, report } = await load(files)
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
    // Origin + 23 steps along the third axis is where the file with the highest position lies: 6.9 mm.
    expect(toWorld(volume.indexToWorld, [0, 0, 23])[2]).toBeCloseTo(6.9, 9)
  })

  it('the same pick in another order gives the same list and the same report', async () => {
    const files = chiralFiles({ overrides: (k) => ({ SeriesInstanceUID: `2.25.${1 + (k % 3)}` }) })
    const summaries = async (order: readonly number[]) => {
      const { series } = await inspectScan(inputsOf(order.flatMap((n) => files[n] ?? [])))
      return series
        .map((s) => ({ id: s.id, shape: s.shape, indexToWorld: s.indexToWorld, codes: codes(s.report) }))
        .sort((a, b) => (a.id < b.id ? -1 : 1))
    }
    expect(await summaries(shuffled(24))).toEqual(await summaries(files.map((_, n) => n)))
  })
})
