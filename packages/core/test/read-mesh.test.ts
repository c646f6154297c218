import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { describeWithData } from '../../../tests/shared-data.js'
import { enclosedVolume, MeshError, readMesh, vertex } from '../src/index.js'

const bytes = (text: string) => new TextEncoder().encode(text)

/** A tetrahedron wound outwards, volume 1/6. */
const CORNERS = [
  [0, 0, 0],
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
]
const FACES = [
  [0, 2, 1],
  [0, 1, 3],
  [1, 2, 3],
  [2, 0, 3],
]

const textStl = `solid t\n${FACES.map((f) => `facet normal 0 0 0\nouter loop\n${f.map((v) => `vertex ${CORNERS[v].join(' ')}`).join('\n')}\nendloop\nendfacet`).join('\n')}\nendsolid t\n`

function binaryStl(header: string, extra = 0): Uint8Array {
  const data = new DataView(new ArrayBuffer(84 + 50 * FACES.length + extra))
  bytes(header).forEach((b, n) => {
    data.setUint8(n, b)
  })
  data.setUint32(80, FACES.length, true)
  FACES.forEach((face, f) => {
    face.forEach((v, c) => {
      CORNERS[v].forEach((value, axis) => {
        data.setFloat32(84 + 50 * f + 12 + 12 * c + 4 * axis, value, true)
      })
    })
  })
  return new Uint8Array(data.buffer)
}

describe('readMesh(bytes, name)', () => {
  for (const [name, file] of [
    ['text STL', bytes(textStl)],
    ['binary STL', binaryStl('made here')],
    ['binary STL whose header starts with "solid"', binaryStl('solid x')],
    ['binary STL with 3 bytes too many', binaryStl('x', 3)],
    [
      'OBJ',
      bytes(
        `v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n${FACES.map((f) => `f ${f.map((v) => `${v + 1}//1`).join(' ')}`).join('\n')}`,
      ),
    ],
    [
      'OBJ with negative indices',
      bytes('v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf -4 -2 -3\nf -4 -3 -1\nf -3 -2 -1\nf -2 -4 -1'),
    ],
  ] as const)
    test(`reads a tetrahedron from ${name}`, () => {
      const mesh = readMesh(file, name)
      expect(mesh.positions).toHaveLength(12)
      expect(mesh.triangles).toHaveLength(12)
      expect(enclosedVolume(mesh)).toBeCloseTo(1 / 6, 12)
    })

  test('a quad becomes two triangles', () => {
    const mesh = readMesh(bytes('v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1 2 3 4\n'), 'quad.obj')
    expect(Array.from(mesh.triangles)).toEqual([0, 1, 2, 0, 2, 3])
    expect(vertex(mesh, 2)).toEqual([1, 1, 0])
  })

  for (const [name, file, says] of [
    ['empty', new Uint8Array(0), /neither STL nor OBJ/],
    ['a letter', bytes('Dear colleague'), /neither STL nor OBJ/],
    ['a missing vertex', bytes('v 0 0 0\nv 1 0 0\nf 1 2 9'), /names a vertex that is not there/],
    ['a word for a number', bytes('v 0 0 zero\nv 1 0 0\nv 0 1 0\nf 1 2 3'), /line 1: "zero" is not a number/],
    ['a cut binary STL', binaryStl('x').subarray(0, 200), /neither STL nor OBJ/],
  ] as const)
    test(`${name} is refused with the file's name`, () => {
      expect(() => readMesh(file, 'crown.stl')).toThrow(says)
      expect(() => readMesh(file, 'crown.stl')).toThrow(MeshError)
      expect(() => readMesh(file, 'crown.stl')).toThrow(/^crown\.stl: /)
    })
})

// Counts and volumes (divergence theorem) worked out with NumPy: SOURCE.md beside the data.
describeWithData('scanned crowns', 'tooth-crowns-obj', (folder) => {
  for (const [tooth, vertices, triangles, volume] of [
    ['11', 3394, 6784, 187.335],
    ['23', 3120, 6236, 206.883],
    ['36', 2796, 5588, 417.822],
  ] as const)
    test(`crown ${tooth}: ${vertices} vertices, ${volume} mm3`, () => {
      const name = `crown-fdi-${tooth}.obj`
      const mesh = readMesh(readFileSync(join(folder, name)), name)
      expect(mesh.positions.length / 3).toBe(vertices)
      expect(mesh.triangles.length / 3).toBe(triangles)
      expect(enclosedVolume(mesh)).toBeCloseTo(volume, 3)
    })
})
