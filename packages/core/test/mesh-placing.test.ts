import { describe, expect, test } from 'vitest'
import type { PlannedMeshCrown } from '../src/index.js'
import {
  crownMeshOf,
  enclosedVolume,
  lpsRasSwapped,
  type Mesh,
  mirroredMesh,
  scaledMesh,
} from '../src/index.js'

/** A tetrahedron wound outwards, volume 1/6 * 2 * 3 * 4 = 4. */
const mesh: Mesh = {
  positions: Float64Array.of(0, 0, 0, 2, 0, 0, 0, 3, 0, 0, 0, 4),
  triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3),
}

describe('what a mesh becomes', () => {
  test('in another unit: the volume goes with the third power', () => {
    expect(enclosedVolume(scaledMesh(mesh, 25.4))).toBeCloseTo(4 * 25.4 ** 3, 8)
  })
  test('LPS and RAS: x and y turned over, still wound outwards, and twice is the mesh itself', () => {
    const other = lpsRasSwapped(mesh)
    expect(Array.from(other.positions)).toEqual([0, 0, 0, -2, 0, 0, 0, -3, 0, 0, 0, 4])
    expect(enclosedVolume(other)).toBeCloseTo(4, 12)
    expect(lpsRasSwapped(other)).toEqual(mesh)
  })
  test('mirrored: x turned over, still wound outwards, and twice is the mesh itself', () => {
    const other = mirroredMesh(mesh)
    expect(Array.from(other.positions)).toEqual([0, 0, 0, -2, 0, 0, 0, 3, 0, 0, 0, 4])
    expect(enclosedVolume(other)).toBeCloseTo(4, 12)
    expect(mirroredMesh(other)).toEqual(mesh)
  })
})

describe('crownMeshOf(planned, tooth of the site, mesh of the file)', () => {
  const planned: PlannedMeshCrown = { kind: 'mesh', file: 'c.stl', pose: [] }

  test('is the mesh itself where nothing is said', () => {
    expect(crownMeshOf(planned, '11', mesh)).toBe(mesh)
    expect(crownMeshOf({ ...planned, tooth: '11', unitMm: 1, space: 'lps' }, '11', mesh)).toBe(mesh)
  })
  test('takes the unit, then RAS, then the mirror', () => {
    const own = crownMeshOf({ ...planned, tooth: '21', unitMm: 10, space: 'ras' }, '11', mesh)
    expect(Array.from(own.positions)).toEqual([0, 0, 0, 20, 0, 0, 0, -30, 0, 0, 0, 40])
    expect(enclosedVolume(own)).toBeCloseTo(4000, 8)
  })
  test.each([
    ['11', '21'],
    ['22', '12'],
    ['36', '46'],
    ['45', '35'],
  ])('a mesh of %s serves the site %s, mirrored', (tooth, site) => {
    expect(crownMeshOf({ ...planned, tooth }, site, mesh)).toEqual(mirroredMesh(mesh))
  })
  test('the same choice on the same file gives the same mesh, another choice another', () => {
    const choice: PlannedMeshCrown = { ...planned, unitMm: 25.4 }
    const first = crownMeshOf(choice, '11', mesh)
    expect(crownMeshOf({ ...choice }, '11', mesh)).toBe(first)
    expect(crownMeshOf({ ...choice, space: 'ras' }, '11', mesh)).not.toBe(first)
  })
  test('refuses a mesh of another tooth and a unit that is none', () => {
    expect(() => crownMeshOf({ ...planned, tooth: '12' }, '11', mesh)).toThrow(/11 or 21/)
    for (const unitMm of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => crownMeshOf({ ...planned, unitMm }, '11', mesh)).toThrow(RangeError)
  })
})
