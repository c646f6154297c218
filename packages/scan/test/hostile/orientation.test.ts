import {
  column,
  createVolume,
  cross,
  dot,
  fromFrame,
  reslice,
  toWorld,
  type Vec3,
  type Volume,
} from '@alveometer/core'
import { chiralStorage, writeSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { expectMarks, load, phantom } from '../chiral.js'

type Axis = 0 | 1 | 2
const orders: readonly (readonly [Axis, Axis, Axis])[] = [
  [0, 1, 2],
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
]

/** Index axis n runs along patient axis `order[n]`, backwards where bit n of `signs` is set. The patient stays. */
function stored(order: readonly [Axis, Axis, Axis], signs: number): Volume {
  const shape = order.map((axis) => phantom.shape[axis]) as unknown as Vec3
  const back = (n: number) => (signs >> n) & 1
  const data = new Int16Array(phantom.data.length)
  let at = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++) {
        const place = [0, 0, 0]
        for (const [n, index] of [i, j, k].entries())
          place[order[n] as Axis] = back(n) ? (shape[n] as number) - 1 - index : index
        const [x, y, z] = place as [number, number, number]
        data[at++] = phantom.data[x + 32 * (y + 32 * z)] as number
      }
  const first = [0, 0, 0]
  const steps = order.map((axis, n) => {
    const step = [0, 0, 0]
    step[axis] = back(n) ? -0.3 : 0.3
    first[axis] = back(n) ? 0.3 * ((shape[n] as number) - 1) : 0
    return step as unknown as Vec3
  })
  const [x, y, z] = steps as [Vec3, Vec3, Vec3]
  return createVolume({ data, shape, indexToWorld: fromFrame(x, y, z, first as unknown as Vec3) })
}

describe.each(orders)('columns, rows and slices along axes %d %d %d of the patient', (...order) => {
  it.each([0, 1, 2, 3, 4, 5, 6, 7])(
    'directions %d: every mark at its place, axes right-handed',
    async (signs) => {
      const files = writeSeries(stored(order, signs), { storage: chiralStorage })
      const { volume, report } = await load(files)
      expectMarks(volume)
      const m = volume.indexToWorld
      expect(dot(cross(column(m, 0), column(m, 1)), column(m, 2))).toBeGreaterThan(0)
      expect(report.filter((r) => r.level !== 'note')).toEqual([])
      // Columns and rows stay as the files have them: only the slices may be turned round.
      const written = stored(order, signs).indexToWorld
      for (const axis of [0, 1] as const)
        expect(
          column(m, axis).map((c, n) => Math.abs(c - (column(written, axis)[n] as number)) < 1e-9),
        ).toEqual([true, true, true])
    },
  )
})

it('non-square pixels: ten columns are 2.5 mm and ten rows 4 mm, in every plane', async () => {
  for (const order of orders) {
    const files = writeSeries(stored(order, 0), {
      storage: chiralStorage,
      overrides: { PixelSpacing: [0.4, 0.25] },
    })
    const { volume } = await load(files)
    const [zero, columns, rows] = [
      [0, 0, 0],
      [10, 0, 0],
      [0, 10, 0],
    ].map((i) => toWorld(volume.indexToWorld, i as unknown as Vec3)) as [Vec3, Vec3, Vec3]
    expect(columns[order[0]] - zero[order[0]]).toBeCloseTo(2.5, 9)
    expect(rows[order[1]] - zero[order[1]]).toBeCloseTo(4, 9)
  }
})

it('two pairs of marks on non-square pixels: 2.5 and 4 mm apart in a picture of square pixels', async () => {
  const marks: readonly Vec3[] = [
    [5, 5, 12],
    [15, 5, 12],
    [5, 15, 12],
  ]
  const data = new Int16Array(phantom.data.length).fill(-1000)
  for (const [i, j, k] of marks) data[i + 32 * (j + 32 * k)] = 1500
  const volume = createVolume({ data, shape: phantom.shape, indexToWorld: phantom.indexToWorld })
  const files = writeSeries(volume, {
    storage: chiralStorage,
    seed: 'marks',
    overrides: { PixelSpacing: [0.4, 0.25] },
  })
  const { volume: loaded } = await load(files)
  const [step, size] = [0.05, 300]
  const plane = {
    origin: [0, 0, 3.6],
    du: [step, 0, 0],
    dv: [0, step, 0],
    width: size,
    height: size,
  } as const
  const picture = reslice(loaded, plane)
  // The middle of everything bright near where a mark should be.
  const middle = (x: number, y: number) => {
    let [u, v, weight] = [0, 0, 0]
    for (let n = 0; n < picture.length; n++) {
      const [px, py] = [step * (n % size), step * Math.floor(n / size)]
      const bright = Math.max(0, (picture[n] ?? 0) + 1000)
      if (Number.isNaN(bright) || Math.hypot(px - x, py - y) > 1) continue
      u += bright * px
      v += bright * py
      weight += bright
    }
    return [u / weight, v / weight] as const
  }
  const [a, b, c] = [middle(1.25, 2), middle(3.75, 2), middle(1.25, 6)]
  expect(b[0] - a[0]).toBeCloseTo(2.5, 3)
  expect(c[1] - a[1]).toBeCloseTo(4, 3)
})
