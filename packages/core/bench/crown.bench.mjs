// Access channels through a crown of about 50 000 triangles: single rays against VTK's locator in the same run, the tree
// that answers them, and all that one pose of a drag asks for.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createRandom } from '@alveometer/phantom'
import { bendPlace } from '../dist/crown/channel-bend.js'
import { reachableZone } from '../dist/crown/reachable-zone.js'
import { accessChannel, accessExit, angledChannel, tabulatedCrown } from '../dist/index.js'
import { lastCrossing, meshTree } from '../dist/space/mesh-tree.js'

const TRIANGLES = 50_000
const RAYS = 20_000
const POSES = 10

export async function rows({ measure, findPython, runPython }) {
  const table = []
  for (const tooth of ['11', '36']) {
    const crown = refined(tabulatedCrown(tooth))
    const what = `crown of ${tooth}, ${crown.mesh.triangles.length / 3} triangles`
    table.push(
      await measure(`tree of a ${what}`, () => meshTree({ ...crown.mesh }).order.length, {
        warmup: 3,
        repeats: 15,
      }),
    )
    table.push(await rays(crown, what, { measure, findPython, runPython }))
    const questions = poses(crown)
    const asked = [
      ['exit of the axis', (question) => accessExit(question).exitDistanceMm ?? 0],
      ['opening and wall of the straight channel', (question) => accessChannel(question).wall?.mm ?? 0],
      ['exit, opening, wall and reachable zone', (question) => straight(question) + zone(question)],
      ['least bends and reachable zone', bends],
      [
        'all of it, least bends too: what a drag asks for',
        (question) => straight(question) + bends(question),
      ],
    ]
    for (const [name, ask] of asked)
      table.push(
        await measure(
          `${name}, ${what} (${POSES} poses, per pose)`,
          () => questions.reduce((sum, question) => sum + ask(question), 0),
          { warmup: 3, repeats: 15, per: POSES },
        ),
      )
  }
  return table
}

const straight = (question) =>
  (accessExit(question).exitDistanceMm ?? 0) + (accessChannel(question).wall?.mm ?? 0)

function zone(question) {
  const place = bendPlace(question)
  return (place && reachableZone(place)?.length) ?? 0
}

function bends(question) {
  const { least, leastWithWall, reachable } = angledChannel(question)
  return (least?.correctionDeg ?? 0) + (leastWithWall?.correctionDeg ?? 0) + (reachable?.length ?? 0)
}

/** A fixture that leans from palatal to facial: exits behind the edge, through it and in front of it. */
function poses(crown) {
  const [x, y] = crown.landmarks.edgeCentre
  return Array.from({ length: POSES }, (_, n) => ({
    crown,
    pose: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1],
    fixture: { platform: [x + 0.1 * (n - 5), y, 3.5], apical: [-0.04 * (n - 5), -0.03, 1] },
    site: { tooth: crown.tooth, facial: [1, 0, 0], coronal: [0, 0, -1] },
  }))
}

/** Rays from under the crown through it, where they leave it last; VTK's go the other way and are met first there. */
async function rays(crown, what, { measure, findPython, runPython }) {
  const random = createRandom(`bench/crown/${crown.tooth}`)
  const ends = Array.from({ length: RAYS }, () => {
    const from = [2 * random.uniform() - 1, 2 * random.uniform() - 1, 4]
    const direction = [0.6 * (random.uniform() - 0.5), 0.6 * (random.uniform() - 0.5), -1]
    return { from, direction }
  })
  const tree = meshTree(crown.mesh)
  const row = await measure(
    `last crossings of ${RAYS} rays with a ${what}`,
    () =>
      ends.reduce(
        (sum, { from, direction }) => sum + (lastCrossing(tree, from, direction)?.distance ?? 0),
        0,
      ),
    { warmup: 3, repeats: 15 },
  )
  if (findPython(['vtk', 'numpy']) === undefined) return row
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-bench-'))
  try {
    const lines = ends.flatMap(({ from, direction }) => [
      ...from,
      ...from.map((v, k) => v + 20 * direction[k]),
    ])
    writeFileSync(join(folder, 'positions'), new Uint8Array(crown.mesh.positions.slice().buffer))
    writeFileSync(join(folder, 'triangles'), new Uint8Array(Float64Array.from(crown.mesh.triangles).buffer))
    writeFileSync(join(folder, 'lines'), new Uint8Array(Float64Array.from(lines).buffer))
    const script = join(folder, 'peer.py')
    writeFileSync(script, PEER)
    const { locators } = runPython(script, [folder], { modules: ['vtk', 'numpy'] })
    const peers = locators.map(({ name, median, sum }) => ({
      name: `${name}, called from Python`,
      median,
      checksum: Number(sum.toPrecision(9)).toString(),
    }))
    return { ...row, peers }
  } finally {
    rmSync(folder, { recursive: true })
  }
}

const PEER = `
import json, sys, time, numpy as np, vtk
d = sys.argv[1]
positions = np.fromfile(d + '/positions').reshape(-1, 3)
triangles = np.fromfile(d + '/triangles').reshape(-1, 3).astype(int)
lines = np.fromfile(d + '/lines').reshape(-1, 6).tolist()
points = vtk.vtkPoints()
points.SetDataTypeToDouble()
for p in positions: points.InsertNextPoint(*p)
cells = vtk.vtkCellArray()
for t in triangles: cells.InsertNextCell(3, [int(v) for v in t])
data = vtk.vtkPolyData()
data.SetPoints(points)
data.SetPolys(cells)
answers = []
for kind in (vtk.vtkStaticCellLocator, vtk.vtkCellLocator):
    locator = kind()
    locator.SetDataSet(data)
    locator.BuildLocator()
    t, sub, cell = vtk.reference(0.0), vtk.reference(0), vtk.reference(0)
    x, local = [0.0] * 3, [0.0] * 3
    times = []
    for _ in range(7):
        total = 0.0
        start = time.perf_counter()
        for line in lines:
            if locator.IntersectWithLine(line[3:], line[:3], 1e-9, t, x, local, sub, cell):
                total += 20 * (1 - t.get())
        times.append(time.perf_counter() - start)
    answers.append({'name': kind.__name__, 'median': float(np.median(times) * 1000), 'sum': total})
print(json.dumps({'locators': answers}))
`

/** The crown with its triangles cut into n x n alike ones, and as many of these into three as it takes to 50 000. */
function refined(crown) {
  const { positions, triangles } = crown.mesh
  const n = Math.max(1, Math.floor(Math.sqrt((3 * TRIANGLES) / triangles.length)))
  const points = [...positions]
  const known = new Map()
  const place = (parts) => {
    const used = parts.filter(([, share]) => share > 0).sort((a, b) => a[0] - b[0])
    const key = used.flat().join(' ')
    if (!known.has(key)) {
      known.set(key, points.length / 3)
      for (let k = 0; k < 3; k++)
        points.push(used.reduce((sum, [vertex, share]) => sum + (share / n) * positions[3 * vertex + k], 0))
    }
    return known.get(key)
  }
  const corners = []
  const regions = []
  let left = TRIANGLES - (n * n * triangles.length) / 3
  const add = (region, a, b, c) => {
    if (left < 2) {
      corners.push(a, b, c)
      regions.push(region)
      return
    }
    left -= 2
    const middle = points.length / 3
    for (let k = 0; k < 3; k++) points.push((points[3 * a + k] + points[3 * b + k] + points[3 * c + k]) / 3)
    corners.push(a, b, middle, b, c, middle, c, a, middle)
    regions.push(region, region, region)
  }
  // Every fourth triangle first, so that the finer ones lie all over the crown.
  for (const first of [0, 3, 6, 9])
    for (let t = first; t < triangles.length; t += 12) {
      const [a, b, c] = triangles.subarray(t, t + 3)
      const region = crown.regions[t / 3]
      const at = (i, j) =>
        place([
          [a, n - i - j],
          [b, i],
          [c, j],
        ])
      for (let i = 0; i < n; i++)
        for (let j = 0; i + j < n; j++) {
          add(region, at(i, j), at(i + 1, j), at(i, j + 1))
          if (i + j + 1 < n) add(region, at(i + 1, j), at(i + 1, j + 1), at(i, j + 1))
        }
    }
  const mesh = { positions: Float64Array.from(points), triangles: Uint32Array.from(corners) }
  return { ...crown, mesh, regions }
}
