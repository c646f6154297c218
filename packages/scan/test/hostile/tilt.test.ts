import { sampleAt, type Vec3, type Volume } from '@alveometer/core'
import { chiralMarks } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithData } from '../../../../tests/shared-data.js'
import { loadScan } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import { chiralFiles, codes, load, phantom, refusal } from '../chiral.js'

const warnings = (report: readonly { level: string; code: string }[]) =>
  codes(report.filter((r) => r.level === 'warn'))
const voxel = ({ data, shape }: Volume, i: number, j: number, k: number) =>
  data[i + shape[0] * (j + shape[1] * k)]
const drifting = (drift: (k: number) => readonly [number, number]) =>
  chiralFiles({ overrides: (k) => ({ ImagePositionPatient: [...drift(k), 0.3 * k] }) })

describe('stacks that are not straight', () => {
  it('positions drifting in x by half a step a slice: every mark moves with its own slices', async () => {
    // 0.15 mm a slice is half a voxel: the slices of even number move by whole voxels and stay exact.
    const { volume, report } = await load(drifting((k) => [0.15 * k, 0]))
    expect(warnings(report)).toEqual(['tilt-resampled'])
    expect(report[0]?.message).toContain('26.6 degrees') // atan(0.5)
    for (let k = 0; k < 24; k += 2)
      for (const [i, j] of [
        [3, 4],
        [16, 16],
        [28, 15],
        [15, 2],
      ] as const)
        expect(sampleAt(volume, [0.3 * i + 0.15 * k, 0.3 * j, 0.3 * k])).toBe(voxel(phantom, i, j, k))
    for (const { world, grey } of chiralMarks) {
      const k = Math.floor(world[2] / 0.3)
      const even = k + (k % 2)
      expect(sampleAt(volume, [world[0] - 0.15 + 0.15 * even, world[1] - 0.15, 0.3 * even])).toBe(grey)
    }
  })

  it('Gantry/Detector Tilt is not believed: a straight stack stays as it is', async () => {
    const { volume, report } = await load(
      chiralFiles({ overrides: { '00181120': { vr: 'DS', value: '16.5' } } }),
    )
    expect(report).toEqual([])
    expect(Array.from(volume.data)).toEqual(Array.from(phantom.data))
  })

  it('tilt and slightly uneven steps: both named', async () => {
    const { report } = await load(
      chiralFiles({
        overrides: (k) => ({ ImagePositionPatient: [0, 0.05 * k, 0.3 * k + (k === 9 ? 0.04 : 0)] }),
      }),
    )
    expect(warnings(report)).toEqual(['uneven-steps', 'tilt-resampled'])
    expect(report[0]?.files).toEqual(['IM0010.dcm'])
  })

  it('tilt and uneven steps: refused, both named', async () => {
    const uneven = (k: number) => ({ ImagePositionPatient: [0, 0.05 * k, 0.3 * k + (k === 9 ? 0.1 : 0)] })
    const error = await refusal(chiralFiles({ overrides: uneven }))
    expect(codes(error.report)).toEqual(['steps-irregular'])
    expect(error.message).toContain('IM0010.dcm')
    // atan(0.05 / 0.3)
    expect(error.message).toContain('also stacked at 9.5 degrees to their normal')
  })

  it('the other way round than the normal: the same as sorted', async () => {
    const up = drifting((k) => [0, 0.05 * k])
    const [a, b] = [await load(up), await load([...up].reverse())]
    expect(b.volume.identity).toEqual(a.volume.identity)
  })
})

// Measured with pydicom and NumPy on the same files, every slice at its own position; see SOURCE.md beside the data.
describeWithData('an object scanned with a tilted gantry', 'phantom-skull-tilt-plus16', (folder) => {
  const loaded = inputsFromPath(folder).then((inputs) => loadScan(inputs))

  it.each<[number, number, number, number, number]>([
    [14, 85, 770, 96.44, 3],
    [-3, 105.9, 770, 93.18, 3],
    [50, 120, 765, -989.84, 3],
  ])('at (%d, %d, %d) mm: %d', async (x, y, z, grey, within) => {
    const { volume } = await loaded
    // Flat places: once more interpolated, a value there moves by no more than the noise of the scan.
    expect(Math.abs((sampleAt(volume, [x, y, z]) as number) - grey)).toBeLessThan(within)
  })

  // Half of the bar and of air: -447 HU. The notes allow 0.15 mm, along y 0.25 mm.
  it.each<[string, Vec3, Vec3, number, number, number]>([
    ['x at y 85, z 764', [14, 85, 764], [1, 0, 0], 3.862 - 14, 23.781 - 14, 0.15],
    ['x at y 85, z 770', [14, 85, 770], [1, 0, 0], 3.866 - 14, 23.791 - 14, 0.15],
    ['y at x 14, z 766', [14, 85, 766], [0, 1, 0], 75.323 - 85, 95.391 - 85, 0.25],
    ['y at x 14, z 770', [14, 85, 770], [0, 1, 0], 75.904 - 85, 95.724 - 85, 0.25],
    ['cylinder, x at z 764', [-2.97, 105.31, 764], [1, 0, 0], -19.93 / 2, 19.93 / 2, 0.15],
    ['cylinder, y at z 764', [-2.97, 105.31, 764], [0, 1, 0], -20.04 / 2, 20.04 / 2, 0.25],
  ])('edges of a square bar of 20 mm along %s', async (_, middle, direction, low, high, within) => {
    const { volume } = await loaded
    expect(Math.abs(edge(volume, middle, direction, -1) - low)).toBeLessThan(within)
    expect(Math.abs(edge(volume, middle, direction, 1) - high)).toBeLessThan(within)
  })
})

/** Where the grey first falls to -447 along a line from the middle. */
function edge(volume: Volume, from: Vec3, direction: Vec3, sign: 1 | -1): number {
  const at = (t: number) =>
    sampleAt(volume, [from[0] + t * direction[0], from[1] + t * direction[1], from[2] + t * direction[2]])
  for (let t = 0; t < 15; t += 0.01) if ((at(sign * t) ?? 0) < -447) return sign * t
  return Number.NaN
}
