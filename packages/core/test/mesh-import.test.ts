import { describe, expect, test } from 'vitest'
import {
  checkMesh,
  enclosedVolume,
  importMesh,
  type Mesh,
  meshFacts,
  scaledMesh,
  surfaceArea,
  tabulatedCrown,
} from '../src/index.js'
import { cube, reversed, together, without } from './mesh-solids.js'
import { binaryStl, obj, threeMf } from './mesh-writers.js'

const codes = ({ notes }: { notes: readonly { code: string }[] }) => notes.map(({ code }) => code)

test('surfaceArea(cube of 10) is 600', () => expect(surfaceArea(cube(10))).toBeCloseTo(600, 9))

describe('the unit of a 10 mm cube', () => {
  test('in millimetres: nothing to ask', () => {
    const read = importMesh(binaryStl(cube(10)), 'cube.stl')
    expect([read.statedUnitMm, read.unitProposals, read.notes]).toEqual([null, [], []])
    expect(read.facts.volumeMm3).toBeCloseTo(1000, 9)
  })
  for (const [unit, unitMm] of [
    ['inch', 25.4],
    ['metre', 1000],
    ['micrometre', 0.001],
  ] as const)
    test(`in ${unit}: that unit is proposed first and not applied`, () => {
      const read = importMesh(binaryStl(cube(10 / unitMm)), 'cube.stl')
      expect(read.unitProposals[0]).toEqual({ unit, unitMm, extentMm: expect.closeTo(10, 5) })
      expect(read.facts.box.high[0]).toBeCloseTo(10 / unitMm, 2)
      expect(read.notes).toEqual([
        { code: 'unit-unlikely', text: expect.stringMatching(/^cube\.stl .*choose its unit/) },
      ])
    })
  for (const [unit, unitMm] of [
    ['micron', 0.001],
    ['millimeter', 1],
    ['centimeter', 10],
    ['inch', 25.4],
    ['foot', 304.8],
    ['meter', 1000],
  ] as const)
    test(`3MF in ${unit} arrives in millimetres`, () => {
      const read = importMesh(threeMf(cube(10 / unitMm), unit), 'cube.3mf')
      expect(read.statedUnitMm).toBe(unitMm)
      expect(read.facts.volumeMm3).toBeCloseTo(1000, 6)
      expect([read.unitProposals, read.notes]).toEqual([[], []])
    })
  test('a unit that the file states and that cannot be is said, nothing proposed', () => {
    const read = importMesh(threeMf(cube(10), 'meter'), 'cube.3mf')
    expect(codes(read)).toEqual(['size-unlikely'])
    expect(read.unitProposals).toEqual([])
  })
  test('the size of a jaw passes with a word, a mile does not', () => {
    expect(codes(importMesh(obj(cube(60)), 'jaw.obj'))).toEqual(['larger-than-a-crown'])
    expect(codes(importMesh(obj(cube(1609344)), 'mile.obj'))).toEqual(['size-unlikely'])
  })
})

describe('winding', () => {
  const box = cube(10, [3, -4, 5])
  test('a reversed cube is turned over, and that is said', () => {
    const read = checkMesh(reversed(box), 'c.stl')
    expect(codes(read)).toEqual(['turned-inside-out'])
    expect(enclosedVolume(read.mesh)).toBeCloseTo(1000, 9)
    expect(read.facts).toMatchObject({ closed: true, openEdges: 0 })
    expect(read.facts.volumeMm3).toBeCloseTo(1000, 9)
  })
  for (const face of [0, 5, 11])
    test(`one face of the cube reversed (${face}): it follows the others`, () => {
      const read = checkMesh(reversed(box, [face]), 'c.stl')
      expect(codes(read)).toEqual(['winding-repaired'])
      expect(read.notes[0].text).toMatch(/^c\.stl has 1 triangle of 12 wound against/)
      expect(enclosedVolume(read.mesh)).toBeCloseTo(1000, 9)
      expect(read.facts.closed).toBe(true)
    })
  test('one face of a reversed cube right: both are said', () => {
    const read = checkMesh(reversed(reversed(box), [4]), 'c.stl')
    expect(codes(read)).toEqual(['winding-repaired', 'turned-inside-out'])
    expect(enclosedVolume(read.mesh)).toBeCloseTo(1000, 9)
  })
  test('every second face of a crown reversed at random: all is as it was', () => {
    const crown = checkMesh(tabulatedCrown('36').mesh, 'c')
    const some = Array.from({ length: crown.facts.triangles }, (_, t) => t).filter(
      (t) => (t * 7919) % 31 < 13,
    )
    const read = checkMesh(reversed(crown.mesh, some), 'c')
    expect(read.facts.volumeMm3).toBeCloseTo(crown.facts.volumeMm3 ?? Number.NaN, 9)
  })
  test('an open cup is said to be open and not turned, whichever way it is wound', () => {
    for (const cup of [without(box, [2, 3]), reversed(without(box, [2, 3]))]) {
      const read = checkMesh(cup, 'cup.stl')
      expect(codes(read)).toEqual(['open'])
      expect(read.notes[0].text).toMatch(/^cup\.stl is open: 4 edges .*Close it/)
      expect(read.facts).toMatchObject({ closed: false, openEdges: 4, volumeMm3: null, areaMm2: 500 })
      expect(Math.sign(enclosedVolume(read.mesh))).toBe(Math.sign(enclosedVolume(cup)))
    }
  })
  test('a Moebius strip has one side only', () => {
    const n = 12
    const positions: number[] = []
    const triangles: number[] = []
    for (let i = 0; i < n; i++) {
      const angle = (2 * Math.PI * i) / n
      for (const side of [-1, 1]) {
        const r = 5 + side * Math.cos(angle / 2)
        positions.push(r * Math.cos(angle), r * Math.sin(angle), side * Math.sin(angle / 2))
      }
      const [a, b] = [2 * i, 2 * i + 1]
      const [c, d] = i + 1 < n ? [a + 2, b + 2] : [1, 0]
      triangles.push(a, c, b, b, c, d)
    }
    const strip: Mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
    const read = checkMesh(strip, 'm.obj')
    // Some triangles beside the seam may follow their neighbours first.
    expect(codes(read)).toEqual(expect.arrayContaining(['open', 'one-sided']))
    expect(read.facts.closed).toBe(false)
  })
})

describe('vertices and triangles that are none', () => {
  test('equal corners become one, degenerate triangles and unused vertices go, nothing opens', () => {
    const box = cube(10)
    const soup: Mesh = {
      positions: Float64Array.from(
        Array.from(box.triangles).flatMap((v) => Array.from(box.positions.subarray(3 * v, 3 * v + 3))),
      ),
      triangles: Uint32Array.from({ length: 36 }, (_, n) => n),
    }
    const odd: Mesh = {
      positions: Float64Array.of(...soup.positions, 99, 99, 99),
      triangles: Uint32Array.of(...soup.triangles, 0, 0, 1, 2, 3, 2),
    }
    const read = checkMesh(odd, 'c.stl')
    expect(read.facts).toMatchObject({ vertices: 8, triangles: 12, closed: true, shells: 1 })
    expect(codes(read)).toEqual(['degenerate-triangles'])
    expect(read.notes[0].text).toContain('2 triangles')
  })
  test('0 and -0 are one place', () => {
    const box = cube(10)
    const positions = box.positions.map((v, n) => (v === 0 && n % 2 ? -0 : v))
    expect(checkMesh({ ...box, positions }, 'c').facts).toMatchObject({ vertices: 8, closed: true })
  })
  test('a flat triangle within an edge keeps the mesh closed', () => {
    // The edge 0-1 of a face gets a corner in its middle on one side only: the flat triangle closes the gap.
    const box = cube(10)
    const [a, b, c] = box.triangles
    const middle = 8
    const positions = Float64Array.of(
      ...box.positions,
      ...[0, 1, 2].map((axis) => (box.positions[3 * a + axis] + box.positions[3 * b + axis]) / 2),
    )
    const triangles = Uint32Array.of(...box.triangles.slice(3), a, middle, c, middle, b, c, a, b, middle)
    expect(checkMesh({ positions, triangles }, 'c').facts).toMatchObject({ closed: true, triangles: 14 })
  })
  test('nothing but degenerate triangles is refused', () =>
    expect(() =>
      checkMesh({ positions: Float64Array.of(1, 2, 3), triangles: Uint32Array.of(0, 0, 0) }, 'c.obj'),
    ).toThrow(/^c\.obj: holds no triangle with three different corners/))
})

describe('shells', () => {
  const big = cube(10)
  test('the largest of several stays, the others are counted', () => {
    for (const all of [
      together(big, cube(1, [20, 0, 0]), cube(2, [30, 0, 0])),
      together(cube(1, [20, 0, 0]), reversed(big), cube(2, [30, 0, 0])),
    ]) {
      const read = checkMesh(all, 'c.stl')
      expect(codes(read)).toContain('loose-shells')
      expect(read.notes[0].text).toContain('2 more parts')
      expect(read.facts).toMatchObject({ shells: 1, triangles: 12, closed: true })
      expect(read.facts.volumeMm3).toBeCloseTo(1000, 9)
    }
  })
  test('an open crown stays before a closed speck', () => {
    const read = checkMesh(together(cube(0.5, [20, 0, 0]), without(big, [0, 1])), 'c.stl')
    expect(read.facts).toMatchObject({ triangles: 10, closed: false })
  })
  test('an inner shell wound the other way is a void and stays', () => {
    for (const all of [
      together(big, reversed(cube(4, [3, 3, 3]))),
      reversed(together(big, reversed(cube(4, [3, 3, 3])))),
    ]) {
      const read = checkMesh(all, 'c.stl')
      expect(read.facts).toMatchObject({ shells: 2, closed: true })
      expect(read.facts.volumeMm3).toBeCloseTo(1000 - 64, 9)
      expect(enclosedVolume(read.mesh)).toBeCloseTo(1000 - 64, 9)
      expect(codes(read)).not.toContain('loose-shells')
    }
  })
  test('an inner shell wound the same way adds nothing, one outside wound the other way is loose', () => {
    for (const other of [cube(4, [3, 3, 3]), reversed(cube(4, [30, 3, 3]))]) {
      const read = checkMesh(together(big, other), 'c.stl')
      expect(codes(read)).toEqual(['loose-shells'])
      expect(read.facts.volumeMm3).toBeCloseTo(1000, 9)
    }
  })
  test('two cubes that share an edge are closed, and the edge of four faces is said', () => {
    const read = checkMesh(together(big, cube(10, [10, 10, 0])), 'c.stl')
    expect(codes(read)).toEqual(['edges-with-many-faces'])
    expect(read.facts).toMatchObject({ closed: true, manyFaceEdges: 1, openEdges: 0 })
    expect(read.facts.volumeMm3).toBeCloseTo(2000, 9)
  })
  test('a wall that stands on a cube leaves its inside in doubt', () => {
    const wall: Mesh = {
      positions: Float64Array.of(0, 0, 0, 10, 0, 0, 5, -5, -5),
      triangles: Uint32Array.of(0, 1, 2),
    }
    const read = checkMesh(together(big, wall), 'c.stl')
    expect(codes(read)).toEqual(['open', 'edges-with-many-faces'])
    expect(read.facts.closed).toBe(false)
  })
  test('a sheet of two layers encloses nothing', () => {
    const sheet: Mesh = {
      positions: Float64Array.of(0, 0, 0, 9, 0, 0, 0, 9, 0),
      triangles: Uint32Array.of(0, 1, 2, 0, 2, 1),
    }
    expect(codes(checkMesh(sheet, 'c.stl'))).toEqual(['encloses-nothing'])
  })
})

test('meshFacts(mesh) says what checkMesh found, of a mesh in order', () => {
  const checked = checkMesh(tabulatedCrown('14').mesh, 'c')
  expect(meshFacts(checked.mesh)).toEqual(checked.facts)
  expect(checked.facts.volumeMm3).toBeCloseTo(enclosedVolume(checked.mesh), 6)
  expect(checked.facts.areaMm2).toBeCloseTo(surfaceArea(checked.mesh), 6)
  expect(meshFacts(without(cube(10), [0])).closed).toBe(false)
})

test('far from the origin the volume is as good', () => {
  const far = scaledMesh(cube(10), 1)
  const moved = { ...far, positions: far.positions.map((v) => v + 1e6) }
  expect(checkMesh(moved, 'c').facts.volumeMm3).toBeCloseTo(1000, 6)
})
