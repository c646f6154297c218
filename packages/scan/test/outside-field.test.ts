import { join } from 'node:path'
import { createVolume, toWorld, type Volume } from '@alveometer/core'
import { createRandom, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData } from '../../../tests/shared-data.js'
import { loadScan } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import { codes, load } from './chiral.js'

const size = 64
const middle = (size - 1) / 2

/** A field of noise in constant surroundings. `grey` gives the value inside the field, or null for outside. */
function field(grey: (i: number, j: number, k: number, noise: number) => number | null): Volume {
  const noise = createRandom(7)
  const data = new Int16Array(size * size * 12)
  for (let at = 0; at < data.length; at++) {
    const i = at % size
    const j = Math.floor(at / size) % size
    const k = Math.floor(at / size / size)
    data[at] = grey(i, j, k, Math.round(60 * (noise.uniform() - 0.5))) ?? -1000
  }
  const indexToWorld = [0.2, 0, 0, 0, 0, 0.2, 0, 0, 0, 0, 0.2, 0, 0, 0, 0, 1]
  return createVolume({ data, shape: [size, size, 12], indexToWorld })
}

const radius = (i: number, j: number) => Math.hypot(i - middle, j - middle)
const cleared = (v: Volume) => (v.noData === undefined ? 0 : v.data.filter((g) => g === v.noData).length)
const reload = (v: Volume) => load(writeSeries(v))

describe('constant surroundings of a round field', () => {
  it('are no data, exactly outside the circle', async () => {
    const { volume, report } = await reload(field((i, j, _, n) => (radius(i, j) <= 31 ? n : null)))
    expect(codes(report)).toEqual(['constant-outside-field'])
    let expected = 0
    for (let j = 0; j < size; j++) for (let i = 0; i < size; i++) if (radius(i, j) > 31) expected += 12
    expect(cleared(volume)).toBe(expected)
  })

  it('air clipped to the same constant that touches them stays', async () => {
    // A wedge of clipped air in front, from the rim to the middle, over 60 degrees.
    const wedge = (i: number, j: number) => Math.abs(Math.atan2(i - middle, middle - j)) < Math.PI / 6
    const { volume } = await reload(
      field((i, j, _, n) => (radius(i, j) > 31 ? null : wedge(i, j) ? -1000 : n)),
    )
    const at = (i: number, j: number) => volume.data[i + size * j]
    expect(cleared(volume)).toBeGreaterThan(0)
    expect(at(0, 0)).toBe(volume.noData)
    expect(at(32, 3)).toBe(-1000)
    expect(at(32, 20)).toBe(-1000)
  })

  it.each<[string, Parameters<typeof field>[0]]>([
    ['real air with noise', (i, j, _, n) => (radius(i, j) < 25 ? 500 + n : -1000 + n)],
    ['clipped air around a round body', (i, j, _, n) => (radius(i, j) < 20 ? 500 + n : null)],
    [
      'clipped air around a square body',
      (i, j, _, n) => (Math.max(Math.abs(i - middle), Math.abs(j - middle)) < 29 ? n : null),
    ],
    ['a drawn disc without noise', (i, j) => (radius(i, j) <= 31 ? 700 : null)],
    [
      'a body that moves from slice to slice',
      (i, j, k, n) => (Math.hypot(i - middle + k - 6, j - middle) <= 29 ? n : null),
    ],
  ])('%s is kept', async (_, grey) => {
    const { volume, report } = await reload(field(grey))
    expect(codes(report)).toEqual([])
    expect(cleared(volume)).toBe(0)
  })
})

describeWithData('simulated cone-beam scans', 'simulated-cbct', (folder) => {
  it.each(['upper-front', 'lower-molar'])(
    '%s: no data exactly beyond 24.8 mm from the axis',
    async (name) => {
      const { volume, report } = await loadScan(await inputsFromPath(join(folder, name, `${name}.zip`)))
      expect(volume.shape).toEqual([250, 250, 200])
      expect(volume.grey.unit).toBe('grey value')
      expect(codes(report)).toEqual(['constant-outside-field'])
      const axis = toWorld(volume.indexToWorld, [124.5, 124.5, 0])
      let wrong = 0
      for (let at = 0; at < volume.data.length; at++) {
        const p = toWorld(volume.indexToWorld, [at % 250, Math.floor(at / 250) % 250, 0])
        const beyond = Math.hypot(p[0] - axis[0], p[1] - axis[1]) > 24.8
        if (beyond !== (volume.data[at] === volume.noData)) wrong++
      }
      expect(wrong).toBe(0)
    },
  )
})
