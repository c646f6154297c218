import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import {
  angleDeg,
  column,
  distance,
  fromFrame,
  fromRows,
  mirroredMesh,
  tabulatedCrown,
  transformPoint,
  type Vec3,
  vertex,
} from '@alveometer/core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { cube, reversed } from '../../core/test/mesh-solids.js'
import { binaryStl, obj, threeMf } from '../../core/test/mesh-writers.js'

const bin = join(dirname(fileURLToPath(import.meta.url)), '..', 'bin', 'alveometer.js')

function crown(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [bin, 'crown', ...args], {
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
  })
  return { status, stdout, stderr, json: () => JSON.parse(stdout) }
}

describe('alveometer crown', () => {
  let folder: string
  const file = (name: string, bytes: Uint8Array): string => {
    const path = join(folder, name)
    writeFileSync(path, bytes)
    return path
  }
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'alveometer-crown-'))
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  test('a cube of 10 mm: 12 triangles, closed, 1000 mm3, 600 mm2, nothing to say', () => {
    const path = file('cube.stl', binaryStl(cube(10)))
    const { status, json, stderr } = crown('--mesh', path)
    expect([status, stderr]).toEqual([0, ''])
    expect(json()).toMatchObject({
      file: path,
      format: 'stl-binary',
      unit: { statedMm: null, usedMm: 1, proposals: [] },
      facts: {
        ...{ triangles: 12, vertices: 8, closed: true, shells: 1, openEdges: 0 },
        box: { low: [0, 0, 0], high: [10, 10, 10] },
      },
      notes: [],
    })
    expect(json().facts.volumeMm3).toBeCloseTo(1000, 9)
    expect(json().facts.areaMm2).toBeCloseTo(600, 9)
    expect(json().crown).toBeUndefined()
  })

  test('the same in inches: a unit is proposed and not applied, until --unit says so', () => {
    const path = file('inches.obj', obj(cube(10 / 25.4)))
    const unsettled = crown('--mesh', path).json()
    expect(unsettled.unit.usedMm).toBe(1)
    expect(unsettled.unit.proposals[0]).toMatchObject({ unit: 'inch', unitMm: 25.4 })
    expect(unsettled.facts.volumeMm3).toBeCloseTo((10 / 25.4) ** 3, 9)
    expect(unsettled.notes.map(({ code }: { code: string }) => code)).toEqual(['unit-unlikely'])
    const settled = crown('--mesh', path, '--unit', 'inch').json()
    expect(settled.unit).toEqual({ statedMm: null, usedMm: 25.4, proposals: [] })
    expect(settled.facts.volumeMm3).toBeCloseTo(1000, 6)
    expect(settled.notes).toEqual([])
  })

  test('what was repaired is said, with the name of the file', () => {
    const path = file('inside-out.stl', binaryStl(reversed(cube(10))))
    const { json } = crown('--mesh', path)
    expect(json().facts.volumeMm3).toBeCloseTo(1000, 9)
    expect(json().notes).toMatchObject([{ code: 'turned-inside-out' }])
    expect(json().notes[0].text).toContain('inside-out.stl')
  })

  describe('--tooth', () => {
    const frame = fromFrame([0, 0.6, -0.8], [1, 0, 0], [0, -0.8, -0.6], [12, -40, 7])
    const made = tabulatedCrown('11')
    const places = Array.from({ length: made.mesh.positions.length / 3 }, (_, n) =>
      transformPoint(frame, vertex(made.mesh, n)),
    )
    const turned = { positions: Float64Array.from(places.flat()), triangles: made.mesh.triangles }

    test('the crown is found where it was put, with its size and its landmarks', () => {
      const { status, json } = crown('--mesh', file('turned.stl', binaryStl(turned)), '--tooth', '11')
      expect(status).toBe(0)
      const found = json().crown
      expect(found).toMatchObject({ tooth: '11', sure: true })
      const foundFrame = fromRows(found.frame)
      for (const axis of [0, 1, 2] as const)
        expect(angleDeg(column(foundFrame, axis), column(frame, axis))).toBeLessThan(3)
      // Nelson and Ash: length 10.5, widths 8.5 and 7.
      expect(Math.abs(found.size.lengthMm - 10.5)).toBeLessThan(0.3)
      expect(Math.abs(found.size.widthMdMm - 8.5)).toBeLessThan(0.2)
      expect(Math.abs(found.size.widthLlMm - 7)).toBeLessThan(0.2)
      const { edgeCentre, mesialContact, distalContact } = made.landmarks
      const near = (name: string, place: Vec3) =>
        expect(distance(found.landmarks[name], transformPoint(frame, place)), name).toBeLessThan(0.6)
      near('edgeCentre', edgeCentre)
      near('mesialContact', mesialContact)
      near('distalContact', distalContact)
      for (const { frame: other, residualMm } of found.alternatives) {
        expect(other).toHaveLength(16)
        expect(residualMm).toBeGreaterThan(found.residualMm)
      }
    })

    test('a mirrored 11 is a 21', () => {
      const path = file('mirrored.stl', binaryStl(mirroredMesh(turned)))
      const of = (tooth: string): number => crown('--mesh', path, '--tooth', tooth).json().crown.residualMm
      expect(of('21')).toBeLessThan(of('11'))
    })
  })

  test.each([
    ['no mesh', [], /crown needs --mesh; see alveometer --help/],
    [
      'a file that is not there',
      ['--mesh', 'gone.stl'],
      /gone\.stl: the crown's mesh cannot be read\. Check/,
    ],
    ['a tooth that is none', ['--mesh', 'gone.stl', '--tooth', '19'], /"19" is not a permanent tooth/],
    [
      'a unit that is none',
      ['--mesh', 'gone.stl', '--unit', 'ell'],
      /--unit must be one of mm, cm, .*; got ell/,
    ],
  ] as const)('%s: exit 2, one line, nothing on stdout', (_, args, says) => {
    const { status, stdout, stderr } = crown(...args)
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toMatch(says)
    expect(stderr.trim().split('\n')).toHaveLength(1)
  })

  test.each([
    ['text that is no mesh', 'note.stl', new TextEncoder().encode('not a mesh at all'), []],
    ['a unit for a file that states its own', 'stated.3mf', threeMf(cube(10)), ['--unit', 'inch']],
    ['a mesh without surface, with a tooth', 'flat.stl', binaryStl(flat(cube(10))), ['--tooth', '11']],
  ] as const)('%s: exit 2, one line that names the file', (_, name, bytes, more) => {
    const path = file(name, bytes)
    const { status, stdout, stderr } = crown('--mesh', path, ...more)
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr.startsWith(`alveometer: ${path}: `)).toBe(true)
    expect(stderr.trim().split('\n')).toHaveLength(1)
  })
})

/** Pressed into a plane. */
function flat({ positions, triangles }: ReturnType<typeof cube>) {
  return { positions: positions.map((v, n) => (n % 3 === 2 ? 0 : v)), triangles }
}
