// Bone round a fixture: fast and refined map, nearest distances, one plate fit, and what a scan costs once after loading;
// against the number of rays, the size of the scan, and SciPy on the same data.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { upperFront } from '@alveometer/phantom'
import { fitPlate } from '../dist/bone/edge-fit.js'
import { nearestDistance } from '../dist/bone/nearest.js'
import {
  boneModel,
  createVolume,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  readPlan,
  refinedMargin,
  surfaceGrid,
} from '../dist/index.js'

const PROFILES = 200

export async function rows(context) {
  const { measure, root } = context
  const { volume } = upperFront()
  const plan = readPlan(
    readFileSync(join(root, 'sample-volumes', 'upper-front', 'plan-opening.json'), 'utf8'),
  )
  const bone = boneModel(volume)
  const table = []
  for (const [depths, angles] of [
    [20, 24],
    [20, 48],
    [40, 48],
    [80, 48],
    [80, 96],
  ])
    table.push(
      await fast(
        measure,
        bone,
        plan,
        surfaceGrid(profileOf(plan), depths, angles),
        `${volume.shape.join(' x ')} voxels`,
      ),
    )
  table.push(
    await measure(
      'refined map of 1 920 rays (40 depths x 48 angles, and the dome beyond the apex)',
      () =>
        refinedMargin(bone, frameOf(plan), profileOf(plan), surfaceGrid(profileOf(plan), 40, 48)).nearestMm,
      { warmup: 2, repeats: 7 },
    ),
  )
  table.push(
    await nearest(
      context,
      refinedMargin(bone, frameOf(plan), profileOf(plan), surfaceGrid(profileOf(plan), 40, 48)),
    ),
  )
  table.push(await fits(context))
  const large = enlarged(volume, 400)
  table.push(
    await measure(
      'calibration and exterior of a scan of 400 slices, 400 x 400 x 400 voxels (the sample, repeated)',
      () => boneModel({ ...large }).calibration.cortexGrey,
      { warmup: 1, repeats: 3 },
    ),
  )
  table.push(
    await fast(
      measure,
      boneModel(large),
      plan,
      surfaceGrid(profileOf(plan), 40, 48),
      '400 x 400 x 400 voxels',
    ),
  )
  return table
}

const profileOf = (plan) => fixtureProfile(plan.fixture.shape)
const frameOf = ({ fixture, site }) => fixtureFrame(fixture, site.facial)

/** Ten poses 0.01 mm apart, the same ones every time: a drag. */
function fast(measure, bone, plan, grid, scan) {
  const poses = 10
  const [x, y, z] = plan.fixture.platform
  const frames = Array.from({ length: poses }, (_, n) =>
    frameOf({ ...plan, fixture: { ...plan.fixture, platform: [x + 0.01 * n, y, z - 0.01 * n] } }),
  )
  const rays = grid.depthsMm.length * grid.anglesDeg.length
  return measure(
    `fast map of ${rays} rays, calibrated scan of ${scan} (${poses} poses, per pose)`,
    () =>
      frames.reduce(
        (sum, frame) => sum + (fastMargin(bone, frame, profileOf(plan), grid).minimum?.radialMm ?? 0),
        0,
      ),
    { warmup: 3, repeats: 9, per: poses },
  )
}

/** Every place of the fixture's side against the net of hits; the peer looks among its corners only. */
async function nearest({ measure, findPython, runPython, scratch }, { hits }) {
  const points = Float64Array.from(hits.points, (v, n) => v + (n % 3 === 0 ? 0.4 : -0.3)).filter(
    (_, n) => hits.states[Math.floor(n / 3)] === 'bone',
  )
  const row = await measure(
    `nearest distances of ${points.length / 3} points to the net of hits (triangles, exact), and building it`,
    () => {
      const distance = nearestDistance(hits)
      let sum = 0
      for (let n = 0; n < points.length; n += 3) sum += distance(points[n], points[n + 1], points[n + 2], 100)
      return sum
    },
    { warmup: 3, repeats: 15 },
  )
  if (findPython(['numpy', 'scipy']) === undefined) return row
  writeFileSync(join(scratch, 'corners'), new Uint8Array(hits.points.slice().buffer))
  writeFileSync(join(scratch, 'places'), new Uint8Array(points.buffer))
  const script = join(scratch, 'nearest.py')
  writeFileSync(
    script,
    `
import json, sys, time, numpy as np
from scipy.spatial import cKDTree
d = sys.argv[1]
corners = np.fromfile(d + '/corners').reshape(-1, 3)
corners = corners[~np.isnan(corners[:, 0])]
places = np.fromfile(d + '/places').reshape(-1, 3)
t = []
for _ in range(15):
    s = time.perf_counter(); r = cKDTree(corners).query(places)[0]; t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000), 'sum': float(r.sum())}))
`,
  )
  const { median, sum } = runPython(script, [scratch], { modules: ['numpy', 'scipy'] })
  const name = 'scipy cKDTree, to the corners of the net alone'
  return { ...row, peer: { name, median, checksum: Number(sum.toPrecision(9)).toString() } }
}

/** Blurred plates of 0.3 to 2.5 mm with a ripple for noise, fitted from one start, by ours and by SciPy. */
async function fits({ measure, findPython, runPython, scratch }) {
  const positions = Float64Array.from({ length: 45 }, (_, n) => -3 + 0.1 * n)
  const prior = {
    outerMm: { value: 0, sd: Number.POSITIVE_INFINITY },
    thicknessMm: { value: 1, sd: Number.POSITIVE_INFINITY },
    innerGrey: { value: 400, sd: 200 },
    outsideGrey: { value: 50, sd: 100 },
    cortexGrey: { value: 1500, sd: 90 },
    sigmaMm: { value: 0.26, sd: 0 },
  }
  const profiles = Array.from({ length: PROFILES }, (_, p) => {
    const thickness = 0.3 + (2.2 * p) / PROFILES
    return positions.map((x, n) => {
      const inner = 1 / (1 + Math.exp((-1.702 * (x + thickness)) / 0.26))
      const outer = 1 / (1 + Math.exp((-1.702 * x) / 0.26))
      return 400 + 1100 * inner - 1450 * outer + 20 * Math.sin(2.1 * n + 0.7 * p)
    })
  })
  const weights = new Float64Array(45).fill(1)
  const row = await measure(
    `one plate fitted to a profile of 45 samples (${PROFILES} profiles, per profile)`,
    () =>
      profiles.reduce((sum, greys) => sum + fitPlate(positions, greys, weights, 20, prior, [0.8]).outerMm, 0),
    { warmup: 5, repeats: 15, per: PROFILES },
  )
  if (findPython(['numpy', 'scipy']) === undefined) return row
  writeFileSync(
    join(scratch, 'profiles'),
    new Uint8Array(Float64Array.from(profiles.flatMap((p) => [...p])).buffer),
  )
  const script = join(scratch, 'fits.py')
  writeFileSync(
    script,
    `
import json, sys, time, numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtr
x = -3 + 0.1 * np.arange(45)
rows = np.fromfile(sys.argv[1] + '/profiles').reshape(-1, 45)
def residuals(p, y):
    o, t, i, e, c = p
    m = i + (c - i) * ndtr((x - o + t) / 0.26) + (e - c) * ndtr((x - o) / 0.26)
    return np.concatenate([(m - y) / 20, [(i - 400) / 200, (e - 50) / 100, (c - 1500) / 90]])
t = []
for _ in range(3):
    s = time.perf_counter()
    r = [least_squares(residuals, [0, 0.8, 400, 50, 1500], x_scale=[0.1, 0.3, 200, 50, 200], args=(y,)).x[0] for y in rows]
    t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000 / len(rows)), 'sum': float(np.sum(r))}))
`,
  )
  const { median, sum } = runPython(script, [scratch], { modules: ['numpy', 'scipy'] })
  return { ...row, peer: { name: 'scipy least_squares', median, note: `sum of faces ${sum.toFixed(4)} mm` } }
}

/** A scan made larger by repeating it; its own stay where they are in space. */
function enlarged({ data, shape, indexToWorld, noData }, size) {
  const [nx, ny, nz] = shape
  const out = new Int16Array(size ** 3)
  const repeated = (n, count) => n % count
  let n = 0
  for (let k = 0; k < size; k++)
    for (let j = 0; j < size; j++) {
      const row = nx * (repeated(j, ny) + ny * repeated(k, nz))
      for (let i = 0; i < size; i++) out[n++] = data[row + repeated(i, nx)]
    }
  return createVolume({ data: out, shape: [size, size, size], indexToWorld, noData })
}
