import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  createSampler,
  createVolume,
  cross,
  fromFrame,
  normalize,
  perpendicularTo,
  scale,
  toIndex,
  toWorld,
} from '@alveometer/core'
import { createRandom } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import { describeWithPython } from '../outside-python.js'

const SHAPE = [61, 53, 47] as const
const POINTS = 100_000

describeWithPython('sampling against scipy.ndimage.map_coordinates', ['numpy', 'scipy'], (run) => {
  test('100 000 random points of an oblique, anisotropic volume agree within 1e-6 grey', () => {
    const random = createRandom('sampling')
    const count = SHAPE[0] * SHAPE[1] * SHAPE[2]
    const data = Int16Array.from({ length: count }, () => Math.round(4000 * random.uniform() - 1000))
    const x = normalize([1, 0.3, -0.2])
    const y = perpendicularTo([-0.1, 1, 0.4], x)
    const volume = createVolume({
      data,
      shape: SHAPE,
      indexToWorld: fromFrame(scale(x, 0.3), scale(y, 0.25), scale(cross(x, y), 0.45), [-12, 30, 7]),
    })
    const sample = createSampler(volume)
    const world = Array.from({ length: POINTS }, () =>
      toWorld(volume.indexToWorld, [
        random.uniform() * (SHAPE[0] - 1),
        random.uniform() * (SHAPE[1] - 1),
        random.uniform() * (SHAPE[2] - 1),
      ]),
    )
    const ours = Float64Array.from(world, (p) =>
      sample(...(toIndex(volume.worldToIndex, p) as [number, number, number])),
    )

    const folder = mkdtempSync(join(tmpdir(), 'alveometer-'))
    try {
      writeFileSync(join(folder, 'voxels'), new Uint8Array(data.buffer))
      writeFileSync(join(folder, 'points'), new Uint8Array(Float64Array.from(world.flat()).buffer))
      writeFileSync(join(folder, 'matrix'), new Uint8Array(Float64Array.from(volume.indexToWorld).buffer))
      run(
        `
import sys, numpy as np
from scipy.ndimage import map_coordinates
d = sys.argv[1]
v = np.fromfile(d + '/voxels', np.int16).reshape(${SHAPE[2]}, ${SHAPE[1]}, ${SHAPE[0]}).astype(np.float64)
p = np.fromfile(d + '/points').reshape(-1, 3)
m = np.fromfile(d + '/matrix').reshape(4, 4).T
i = np.linalg.solve(m[:3, :3], (p - m[:3, 3]).T)
map_coordinates(v, i[::-1], order=1, mode='nearest').tofile(d + '/out')
`,
        [folder],
      )
      const bytes = readFileSync(join(folder, 'out'))
      const theirs = new Float64Array(
        bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength),
      )
      expect(theirs).toHaveLength(POINTS)
      let worst = 0
      // Points within rounding of a face may fall outside on one side: none may be lost.
      for (let n = 0; n < POINTS; n++) worst = Math.max(worst, Math.abs(ours[n] - theirs[n]))
      expect(worst).toBeLessThan(1e-6)
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})
