// Trilinear samples of a 320^3 Int16 volume: 3 million points along rays and at random, against SciPy on the same points.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createRandom } from '@alveometer/phantom'
import { createSampler, createVolume, fromFrame } from '../dist/index.js'

const SIZE = 320
const POINTS = 3_000_000

export async function rows({ measure, findPython, runPython }) {
  const random = createRandom('bench/sampling')
  const data = Int16Array.from({ length: SIZE ** 3 }, (_, n) => ((n * 2654435761) >>> 20) - 1000)
  const volume = createVolume({
    data,
    shape: [SIZE, SIZE, SIZE],
    indexToWorld: fromFrame([0.2, 0, 0], [0, 0.2, 0], [0, 0, 0.2], [0, 0, 0]),
  })
  const sample = createSampler(volume)
  const sets = { 'along rays': alongRays(random), 'at random places': atRandom(random) }
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-bench-'))
  try {
    writeFileSync(join(folder, 'voxels'), new Uint8Array(data.buffer))
    const table = []
    for (const [name, points] of Object.entries(sets)) {
      const mean = () => {
        let sum = 0
        for (let n = 0; n < points.length; n += 3) sum += sample(points[n], points[n + 1], points[n + 2])
        return sum / POINTS
      }
      const ours = await measure(`3 million trilinear samples ${name}`, mean, { warmup: 2, repeats: 7 })
      table.push({ ...ours, ...peer(points, folder, findPython, runPython) })
    }
    return table
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** 15 000 rays of 200 samples, 0.5 voxel apart, from the middle outwards. */
function alongRays(random) {
  const points = new Float64Array(3 * POINTS)
  for (let ray = 0, n = 0; ray < POINTS / 200; ray++) {
    const direction = [random.normal(), random.normal(), random.normal()]
    const size = Math.hypot(...direction)
    for (let step = 0; step < 200; step++)
      for (let axis = 0; axis < 3; axis++) points[n++] = SIZE / 2 + (0.5 * step * direction[axis]) / size
  }
  return points
}

const atRandom = (random) => Float64Array.from({ length: 3 * POINTS }, () => random.uniform() * (SIZE - 1))

function peer(points, folder, findPython, runPython) {
  if (findPython(['numpy', 'scipy']) === undefined) return {}
  writeFileSync(join(folder, 'points'), new Uint8Array(points.buffer))
  const script = join(folder, 'peer.py')
  writeFileSync(
    script,
    `
import json, sys, time, numpy as np
from scipy.ndimage import map_coordinates
d = sys.argv[1]
v = np.fromfile(d + '/voxels', np.int16).reshape(${SIZE}, ${SIZE}, ${SIZE})
p = np.ascontiguousarray(np.fromfile(d + '/points').reshape(-1, 3)[:, ::-1].T)
t = []
for _ in range(5):
    s = time.perf_counter(); r = map_coordinates(v, p, order=1, output=np.float64); t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000), 'mean': float(r.mean())}))
`,
  )
  const { median, mean } = runPython(script, [folder], { modules: ['numpy', 'scipy'] })
  return {
    peer: {
      name: 'scipy map_coordinates(order=1)',
      median,
      checksum: Number(mean.toPrecision(9)).toString(),
    },
  }
}
