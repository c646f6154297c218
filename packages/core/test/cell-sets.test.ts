import { createRandom } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import { describeWithPython, runWithArrays } from '../../../tests/outside-python.js'
import { type CellSet, cellsMarked, countCells, paint } from '../src/bone/cell-set.js'
import { coarseField } from '../src/bone/coarse.js'
import { grown, withNeighbours } from '../src/bone/grow.js'
import { connectedSpaces, labels } from '../src/bone/spaces.js'
import { createVolume, fromFrame, type Vec3 } from '../src/index.js'

const random = createRandom('cell sets')
const marksOf = (shape: Vec3, share: number) =>
  Uint8Array.from({ length: shape[0] * shape[1] * shape[2] }, () => (random.uniform() < share ? 1 : 0))

function bytes(set: CellSet): Uint8Array {
  const marks = new Uint8Array(set.shape[0] * set.shape[1] * set.shape[2])
  paint(set, marks, 1)
  return marks
}

/** Rows of less than a word, of whole words, and of words and a bit. */
const shapes: readonly Vec3[] = [
  [7, 9, 5],
  [64, 12, 10],
  [75, 21, 13],
]

describeWithPython('sets of cells against SciPy', ['numpy', 'scipy.ndimage'], (run) => {
  for (const shape of shapes) {
    const name = shape.join(' x ')
    const size = [...shape].reverse().join(', ')

    test(`${name}: grown is what distance_transform_edt finds within reach`, () => {
      for (const [cellMm, radii] of [
        [
          [0.3, 0.3, 0.3],
          [0.3, 0.4, 0.55, 0.8, 1.5],
        ],
        [
          [0.4, 0.25, 1],
          [0.4, 0.9, 2.1],
        ],
      ] as const) {
        const marks = marksOf(shape, 0.01)
        const { distance } = runWithArrays(
          run,
          `
import sys, numpy as np, scipy.ndimage as n
folder = sys.argv[1]
marks = np.fromfile(folder + '/marks', np.uint8).reshape(${size})
n.distance_transform_edt(marks == 0, sampling=(${[...cellMm].reverse().join(',')})).tofile(folder + '/distance')
`,
          { marks },
          ['distance'],
        )
        for (const radiusMm of radii) {
          const found = bytes(grown(cellsMarked(marks, shape), radiusMm, cellMm))
          expect(found).toEqual(Uint8Array.from(distance, (d) => (d <= radiusMm + 1e-9 ? 1 : 0)))
        }
      }
    })

    test(`${name}: connectedSpaces are those of label, withNeighbours is binary_dilation`, () => {
      const marks = marksOf(shape, 0.35)
      const { label, wide } = runWithArrays(
        run,
        `
import sys, numpy as np, scipy.ndimage as n
folder = sys.argv[1]
marks = np.fromfile(folder + '/marks', np.uint8).reshape(${size})
n.label(marks)[0].astype(float).tofile(folder + '/label')
n.binary_dilation(marks).astype(float).tofile(folder + '/wide')
`,
        { marks },
        ['label', 'wide'],
      )
      const set = cellsMarked(marks, shape)
      expect(countCells(set)).toBe(marks.reduce((a, b) => a + b, 0))
      // Both number spaces by their first cell.
      expect(Array.from(labels(connectedSpaces(set)))).toEqual(Array.from(label))
      expect(Array.from(bytes(withNeighbours(set)))).toEqual(Array.from(wide))
    })
  }

  for (const [spacingMm, step] of [
    [0.3, 1],
    [0.15, 2],
    [0.1, 3],
  ] as const)
    test(`voxels of ${spacingMm} mm: coarseField is gaussian_filter, made good for what is cut off at the rim`, () => {
      const shape: Vec3 = [31, 25, 19]
      const data = Int16Array.from(
        { length: shape[0] * shape[1] * shape[2] },
        () => 4000 * random.uniform() - 1000,
      )
      const { blurred } = runWithArrays(
        run,
        `
import sys, numpy as np, scipy.ndimage as n
folder = sys.argv[1]
data = np.fromfile(folder + '/data', np.int16).reshape(${[...shape].reverse().join(',')}).astype(float)
blur = lambda v: n.gaussian_filter(v, ${step}, truncate=3, mode='constant')
(blur(data) / blur(np.ones_like(data)))[::${step}, ::${step}, ::${step}].copy().tofile(folder + '/blurred')
`,
        { data },
        ['blurred'],
      )
      const indexToWorld = fromFrame([spacingMm, 0, 0], [0, spacingMm, 0], [0, 0, spacingMm], [0, 0, 0])
      const { values } = coarseField(createVolume({ data, shape, indexToWorld }), 0.3, 0.3)
      expect(values).toHaveLength(blurred.length)
      expect(Math.max(...values.map((v, n) => Math.abs(v - blurred[n])))).toBeLessThan(1e-3)
    })
})

test('grown within a set reaches no cell across what is missing from it', () => {
  const shape: Vec3 = [40, 5, 9]
  const marks = new Uint8Array(40 * 5 * 9)
  marks[20 + 40 * (2 + 5 * 3)] = 1
  const within = new Uint8Array(marks.length).fill(1).fill(0, 40 * 5 * 4, 40 * 5 * 5)
  const found = bytes(grown(cellsMarked(marks, shape), 0.95, [0.3, 0.3, 0.3], cellsMarked(within, shape)))
  const free = bytes(grown(cellsMarked(marks, shape), 0.95, [0.3, 0.3, 0.3]))
  expect(Array.from(found)).toEqual(Array.from(free, (v, n) => (n < 40 * 5 * 4 ? v : 0)))
})
