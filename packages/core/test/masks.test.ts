import { createRandom } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { calibrateScan } from '../src/bone/calibrate.js'
import { coarseField } from '../src/bone/coarse.js'
import { exteriorMask, INSIDE, OUTSIDE } from '../src/bone/exterior.js'
import { surfaceCells, tissueLevels } from '../src/bone/levels.js'
import { type BoneMask, maskCells, rayToMasks } from '../src/bone/masks.js'
import {
  add,
  corners,
  createVolume,
  cross,
  dot,
  enclosedVolume,
  fromFrame,
  intersectLine,
  length,
  type Mesh,
  normalize,
  scale,
  subtract,
  toWorld,
  type Vec3,
  type Volume,
} from '../src/index.js'
import { block } from './block-crown.js'
import { ridge } from './ridge-scene.js'

const random = createRandom('masks')

/** A volume in a pose of its own, painted by place (LPS mm). */
function painted(grey: (place: Vec3) => number, spacingMm = 0.3, shape: Vec3 = [50, 50, 50]): Volume {
  const x = scale(normalize([1, 0.2, -0.1]), spacingMm)
  const z = scale(normalize(cross(x, [0, 1, 0.3])), spacingMm)
  const y = scale(normalize(cross(z, x)), spacingMm)
  const middle = [x, y, z].reduce((sum, axis, a) => add(sum, scale(axis, -(shape[a] - 1) / 2)), [0, 0, 0])
  const indexToWorld = fromFrame(x, y, z, middle)
  const data = new Int16Array(shape[0] * shape[1] * shape[2])
  let n = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++) data[n++] = grey(toWorld(indexToWorld, [i, j, k]))
  return createVolume({ data, shape, indexToWorld })
}

/** The centres of the cells of an empty field, and whether a mask takes them. */
function takenBy(mask: BoneMask): { place: Vec3; taken: boolean }[] {
  const field = coarseField(
    painted(() => 0),
    0.3,
    0.3,
  )
  const [nx, ny] = field.shape
  return Array.from(maskCells([mask], field), (taken, n) => ({
    place: toWorld(field.indexToWorld, [n % nx, Math.floor(n / nx) % ny, Math.floor(n / (nx * ny))]),
    taken: taken === 1,
  }))
}

/** A ball of triangles: rings of latitude, the poles on z. */
function ball(radiusMm: number, centre: Vec3, rings = 24): Mesh {
  const positions: number[] = []
  const columns = 2 * rings
  for (let ring = 0; ring <= rings; ring++)
    for (let column = 0; column < columns; column++) {
      const down = (Math.PI * ring) / rings
      const round = (2 * Math.PI * column) / columns
      positions.push(
        centre[0] + radiusMm * Math.sin(down) * Math.cos(round),
        centre[1] + radiusMm * Math.sin(down) * Math.sin(round),
        centre[2] + radiusMm * Math.cos(down),
      )
    }
  const triangles: number[] = []
  for (let ring = 0; ring < rings; ring++)
    for (let column = 0; column < columns; column++) {
      const [a, b] = [ring * columns + column, ring * columns + ((column + 1) % columns)]
      if (ring > 0) triangles.push(a, a + columns, b)
      if (ring < rings - 1) triangles.push(b, a + columns, b + columns)
    }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

const cylinder = { fromMm: [-3, -2, -4], toMm: [3, 1, 4.5], radiusMm: 2 } as const
const lengthMm = length(subtract(cylinder.toMm, cylinder.fromMm))

/** Whether a place lies behind all faces: inside, for a convex mesh. */
const behindAll = (mesh: Mesh, place: Vec3): boolean =>
  Array.from({ length: mesh.triangles.length / 3 }, (_, t) => corners(mesh, t)).every(
    ([a, b, c]) => dot(cross(subtract(b, a), subtract(c, a)), subtract(place, a)) <= 0,
  )

const cellMm3 = 0.3 ** 3

describe('maskCells', () => {
  test('an oblique cylinder: every cell by its centre, the volume within 2 % of pi r2 l', () => {
    const cells = takenBy(cylinder)
    const axis = normalize(subtract(cylinder.toMm, cylinder.fromMm))
    for (const { place, taken } of cells) {
      const from = subtract(place, cylinder.fromMm)
      const height = dot(from, axis)
      const inside = height >= 0 && height <= lengthMm && length(cross(from, axis)) <= 2
      if (inside !== taken) expect(Math.abs(length(cross(from, axis)) - 2)).toBeLessThan(1e-5)
    }
    const volume = cells.filter(({ taken }) => taken).length * cellMm3
    expect(Math.abs(volume / (Math.PI * 4 * lengthMm) - 1)).toBeLessThan(0.02)
  })

  test('a ball of 2208 triangles: every cell by its centre, the volume within 2 % of the mesh', () => {
    const mesh = ball(4, [0.5, -1, 0.7])
    const cells = takenBy(mesh)
    for (const { place, taken } of cells) {
      const away = length(subtract(place, [0.5, -1, 0.7]))
      // Faces of the ball lie at most 0.04 mm below it; only there each has to be looked at.
      const inside = away < 3.9 || (away <= 4 && behindAll(mesh, place))
      expect(taken).toBe(inside)
    }
    const volume = cells.filter(({ taken }) => taken).length * cellMm3
    expect(Math.abs(volume / enclosedVolume(mesh) - 1)).toBeLessThan(0.02)
  })

  test('a block whose edges run along rows of cells, and two that overlap in one mesh', () => {
    const volume = ridge(80)
    const field = coarseField(volume, 0.3, 0.3)
    const { positions, triangles } = block(6, 3)
    const at = (n: number) =>
      toWorld(field.indexToWorld, [n * field.step[0], n * field.step[1], 30 * field.step[2]])
    const corner = at(30)
    const moved = (by: number) => positions.map((v, n) => v + corner[n % 3] + by * (n % 3 === 0 ? 1 : 0))
    const one = { positions: moved(0), triangles }
    // 20 cells and a half to either side along x and y, 20 along z: the faces themselves are on cells.
    const count = maskCells([one], field).reduce((a, b) => a + b, 0)
    expect(Math.abs((count * cellMm3) / (6 * 6 * 6) - 1)).toBeLessThan(0.15)
    const two = {
      positions: Float64Array.from([...one.positions, ...moved(3)]),
      triangles: Uint32Array.from([...triangles, ...triangles.map((t) => t + 8)]),
    }
    const both = maskCells([two], field)
    expect(both).toEqual(maskCells([one, { positions: moved(3), triangles }], field))
    expect(both.reduce((a, b) => a + b, 0)).toBeGreaterThan(1.4 * count)
  })
})

describe('rayToMasks', () => {
  test('a cylinder is met where geometry says', () => {
    const rod = { fromMm: [5, 0, -4], toMm: [5, 0, 4], radiusMm: 1.5 } as const
    const reach = rayToMasks([rod])
    expect(reach([0, 0, 0], [1, 0, 0], 10)).toBeCloseTo(3.5, 12)
    expect(reach([0, 1, 0], [1, 0, 0], 10)).toBeCloseTo(5 - Math.sqrt(1.5 ** 2 - 1), 12)
    expect(reach([5.5, 0, -9], [0, 0, 1], 10)).toBeCloseTo(5, 12)
    expect(reach([0, 0, 0], [1, 0, 0], 3.4)).toBeNull()
    expect(reach([0, 0, 0], [-1, 0, 0], 10)).toBeNull()
    expect(reach([0, 0, 4.01], [1, 0, 0], 10)).toBeNull()
    expect(reach([5, 1, 0], [1, 0, 0], 10)).toBe(0)
  })

  test('a mesh is met at the first of all its triangles on the way', () => {
    const mesh = ball(2, [4, 0, 0], 12)
    const reach = rayToMasks([mesh, ball(2, [9, 0, 0], 12)])
    for (let n = 0; n < 500; n++) {
      const point: Vec3 = [random.uniform() - 0.5, random.uniform() - 0.5, random.uniform() - 0.5]
      const direction = normalize([1, 1.4 * (random.uniform() - 0.5), 1.4 * (random.uniform() - 0.5)])
      const first = intersectLine(mesh, point, direction)[0]?.distance
      if (first !== undefined) expect(reach(point, direction, 30)).toBeCloseTo(first, 12)
    }
    expect(reach([4.3, 0.2, 0.1], [1, 0, 0], 10)).toBe(0)
    expect(reach([0, 5, 0], [0, 1, 0], 10)).toBeNull()
  })

  test('an open mesh, one inside out and a cylinder without length are refused with the remedy', () => {
    const whole = ball(2, [0, 0, 0], 8)
    const remedy = /open or wound inside out: repair it and export it again/
    expect(() => rayToMasks([{ ...whole, triangles: whole.triangles.slice(3) }])).toThrow(remedy)
    expect(() => rayToMasks([{ ...whole, triangles: whole.triangles.slice().reverse() }])).toThrow(remedy)
    expect(() => rayToMasks([{ fromMm: [1, 1, 1], toMm: [1, 1, 1], radiusMm: 2 }])).toThrow(
      /a length and a radius/,
    )
  })
})

describe('exteriorMask with masks', () => {
  /** Bone of 10 mm to either side, marrow of 400 in a wall of 1500, gum of 50 round it; a root of dentine leans in it. */
  const root = { fromMm: [2, 0.4, -5], toMm: [3, -0.4, 9], radiusMm: 2 } as const
  const bone = (place: Vec3) => Math.max(...place.map(Math.abs)) < 6
  const scene = painted((place) => {
    if (!bone(place)) return 50
    return Math.max(...place.map(Math.abs)) < 5 ? 400 : 1500
  })
  const field = coarseField(scene, 0.3, 0.3)
  const options = { boneGrey: 224, airGrey: -400 }

  /** How far a ray runs in the mask until it is outside, in steps of 0.02 mm. */
  function firstOutside(cells: Uint8Array, from: Vec3, direction: Vec3): number {
    const m = scene.worldToIndex
    const [nx, ny] = field.shape
    for (let t = 0; t < 8; t += 0.02) {
      const [i, j, k] = toWorld(m, add(from, scale(direction, t))).map((v, a) =>
        Math.round(v / field.step[a]),
      )
      if (cells[i + nx * (j + ny * k)] === OUTSIDE) return t
    }
    return Number.POSITIVE_INFINITY
  }

  test('rays through marrow end at the masked root, within a cell of where they meet it', () => {
    const without = exteriorMask(field, options)
    const { cells } = exteriorMask(field, { ...options, masks: [root] })
    const reach = rayToMasks([root])
    for (let angle = -30; angle <= 30; angle += 5) {
      const direction: Vec3 = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180), 0]
      const from: Vec3 = [-3, 0, 1]
      const exact = reach(from, direction, 8)
      if (exact === null) continue
      expect(exact).toBeGreaterThan(2)
      expect(Math.abs(firstOutside(cells, from, direction) - exact)).toBeLessThan(0.3)
      expect(firstOutside(without.cells, from, direction)).toBeGreaterThan(7)
    }
  })

  test('a mask that sticks out of bone lets nothing in along itself, nor narrows what is there', () => {
    const hollow = painted((place) => {
      if (!bone(place)) return 50
      return Math.max(...place.map(Math.abs)) < 5 ? -50 : 1500
    })
    const { cells, narrow } = exteriorMask(coarseField(hollow, 0.3, 0.3), { ...options, masks: [root] })
    const at = (place: Vec3) => {
      const [i, j, k] = toWorld(hollow.worldToIndex, place).map((v, a) => Math.round(v / field.step[a]))
      return i + field.shape[0] * (j + field.shape[1] * k)
    }
    expect(cells[at([-3, 0, 0])]).toBe(INSIDE)
    expect(cells[at([2.5, 3.5, 3])]).toBe(INSIDE)
    expect(cells[at([2.5, 0, 0])]).toBe(OUTSIDE)
    expect(narrow[at([2.5, 0, 0])]).toBe(0)
  })

  test('a masked rod of metal changes neither the calibration nor where it looks', () => {
    const scan = ridge()
    const data = scan.data.slice()
    const rod = { fromMm: [8, 0, -9], toMm: [8, 0, 20], radiusMm: 1.2 } as const
    const whole = coarseField(scan, 0.3, 0.3)
    const [nx, ny, nz] = scan.shape
    let n = 0
    for (let k = 0; k < nz; k++)
      for (let j = 0; j < ny; j++)
        for (let i = 0; i < nx; i++, n++) {
          const [x, y] = toWorld(scan.indexToWorld, [i, j, k])
          if (Math.hypot(x - 8, y) < 1) data[n] = 6000
        }
    const marredScan = createVolume({ ...scan, data })
    const marred = coarseField(marredScan, 0.3, 0.3)
    const masked = tissueLevels(marred, [rod])
    const { calibration: plain } = calibrateScan(scan, whole, tissueLevels(whole))
    const { calibration } = calibrateScan(marredScan, marred, masked)
    expect(Math.abs(calibration.softGrey - plain.softGrey)).toBeLessThan(2)
    expect(Math.abs(calibration.cortexGrey / plain.cortexGrey - 1)).toBeLessThan(0.005)
    expect(Math.abs(calibration.psfSigmaMm - plain.psfSigmaMm)).toBeLessThan(0.005)
    const near = (cells: Uint32Array) =>
      Array.from(cells).filter((cell) => {
        const index = [cell % whole.shape[0], Math.floor(cell / whole.shape[0]) % whole.shape[1], 0]
        const [x, y] = toWorld(scan.indexToWorld, index.map((c, a) => c * whole.step[a]) as unknown as Vec3)
        return Math.hypot(x - 8, y) < 2.5
      })
    expect(near(surfaceCells(tissueLevels(marred).exterior, 1e6)).length).toBeGreaterThan(100)
    expect(near(surfaceCells(masked.exterior, 1e6))).toEqual([])
  })
})
