import { describe, expect, test } from 'vitest'
import {
  type ImportedMesh,
  importMesh,
  type Mesh,
  readMesh,
  readMeshFile,
  tabulatedCrown,
} from '../src/index.js'
import { cube, together } from './mesh-solids.js'
import { binaryPly, binaryStl, obj, textPly, textStl, WRITERS } from './mesh-writers.js'

const bytes = (text: string) => new TextEncoder().encode(text)

/** Coordinates that a 32-bit float holds exactly. */
const inFloats = ({ positions, triangles }: Mesh): Mesh => ({
  positions: positions.map(Math.fround),
  triangles,
})

describe('one mesh through every format', () => {
  const crown = inFloats(tabulatedCrown('11').mesh)
  const direct = importMesh(obj(crown), 'crown')
  for (const [name, write] of WRITERS)
    test(`${name}: the same vertices, triangles and facts`, () => {
      const { format: _, statedUnitMm, ...read }: ImportedMesh = importMesh(write(crown), 'crown')
      expect(statedUnitMm).toBe(name.startsWith('3MF') ? 1 : null)
      expect(read.mesh).toEqual(direct.mesh)
      expect(read.facts).toEqual(direct.facts)
      expect(read.notes).toEqual([])
      expect(read.facts.closed).toBe(true)
    })
})

describe('binary STL', () => {
  test('extra bytes at the end are let pass and said', () => {
    const { mesh, notes } = readMeshFile(binaryStl(cube(10), 'x', 3), 'c.stl')
    expect(mesh.triangles).toHaveLength(36)
    expect(notes).toEqual([{ code: 'extra-bytes', text: expect.stringMatching(/^c\.stl ends with 3 bytes/) }])
  })
  test('a header that promises more triangles than there are bytes is refused before anything is made for it', () => {
    const file = binaryStl(cube(10))
    new DataView(file.buffer).setUint32(80, 0xffffffff, true)
    expect(() => readMesh(file, 'c.stl')).toThrow(/c\.stl: .*4294967295 triangles.*cut short/)
  })
  test('a corner that is not finite or out of all measure is refused with its triangle', () => {
    for (const [value, says] of [
      [Number.NaN, /triangle 2: the coordinate NaN is not a finite number: repair/],
      [Number.NEGATIVE_INFINITY, /triangle 2: .*-Infinity is not a finite number/],
      [1e30, /triangle 2: .*out of all measure/],
    ] as const) {
      const file = binaryStl(cube(10))
      new DataView(file.buffer).setFloat32(84 + 50 + 12, value, true)
      expect(() => readMesh(file, 'c.stl')).toThrow(says)
    }
  })
})

describe('text STL', () => {
  test('the name of the solid may hold any word', () => {
    const mesh = readMesh(textStl(cube(10), 'vertex facet endloop 1,5'), 'c.stl')
    expect(mesh.triangles).toHaveLength(36)
  })
  test('capitals, tabs and the line ends of every machine', () => {
    const text = new TextDecoder().decode(textStl(cube(10)))
    const unix = readMesh(bytes(text), 'c.stl')
    for (const other of [text.toUpperCase(), text.replaceAll('\n', '\r\n'), text.replaceAll(' ', '\t')])
      expect(readMesh(bytes(other), 'c.stl')).toEqual(unix)
    expect(readMesh(bytes(text.replaceAll('\n', '\r')), 'c.stl')).toEqual(unix)
  })
  test('cut within a facet it is refused, cut after one it is said', () => {
    const text = new TextDecoder().decode(textStl(cube(10)))
    expect(() => readMesh(bytes(text.slice(0, text.lastIndexOf('vertex'))), 'c.stl')).toThrow(
      /line 83: .*cut short/,
    )
    const cut = readMeshFile(bytes(text.slice(0, text.indexOf('endsolid'))), 'c.stl')
    expect(cut.notes.map(({ code }) => code)).toEqual(['no-end'])
  })
  test('a facet with four corners is refused', () => {
    const text = new TextDecoder().decode(textStl(cube(10)))
    const four = text.replace('endloop', 'vertex 1 2 3\nendloop')
    expect(() => readMesh(bytes(four), 'c.stl')).toThrow(/line 9: a facet has 4 corners/)
  })
})

describe('numbers that are none', () => {
  for (const [word, says] of [
    ['1,5', /"1,5" has a comma for its decimal point/],
    ['nan', /nan is not a finite number/],
    ['-nan(ind)', /-nan\(ind\) is not a finite number/],
    ['1.#INF', /"?1\.#INF"? is not a/],
    ['inf', /inf is not a finite number/],
    ['0x10', /"0x10" is not a number/],
    ['1e99', /out of all measure/],
    ['1e999', /not a finite number/],
  ] as const)
    test(`${word} is refused with file, line and remedy in text of every format`, () => {
      const files = [
        `solid s\nfacet normal 0 0 0\nouter loop\nvertex 0 0 ${word}\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid`,
        `#\n#\n#\nv 0 0 ${word}\nv 1 0 0\nv 0 1 0\nf 1 2 3`,
      ]
      for (const file of files) {
        expect(() => readMesh(bytes(file), 'a b.mesh')).toThrow(says)
        expect(() => readMesh(bytes(file), 'a b.mesh')).toThrow(/^a b\.mesh: line 4: .*(export|copy)/)
      }
      const ply = `ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_index\nend_header\n0 0 ${word}\n1 0 0\n0 1 0\n3 0 1 2\n`
      expect(() => readMesh(bytes(ply), 'c.ply')).toThrow(says)
      expect(() => readMesh(bytes(ply), 'c.ply')).toThrow(/^c\.ply: line 10: /)
    })
})

describe('OBJ', () => {
  const plain = readMesh(obj(cube(10)), 'c.obj')
  for (const [name, reference] of [
    ['v/vt', (n: number) => `${n + 1}/1`],
    ['v//vn', (n: number) => `${n + 1}//1`],
    ['v/vt/vn', (n: number) => `${n + 1}/1/1`],
    ['negative', (n: number) => `${n - 8}/-1/-1`],
  ] as const)
    test(`references ${name}`, () => expect(readMesh(obj(cube(10), reference), 'c.obj')).toEqual(plain))

  test('weights, colours, lines joined by a backslash, other statements, a mark at the front', () => {
    const text = '\ufeffmtllib x\nv 0 0 0 1\nv 1 0 0 0.5 0.5 0.5\nv 0 1 0\nl 1 2\np 1\ng v f\nf 1 \\\n 2 3\n'
    expect(Array.from(readMesh(bytes(text), 'c.obj').triangles)).toEqual([0, 1, 2])
  })
  test('a polygon of five corners is a fan', () => {
    const text = 'v 0 0 0\nv 2 0 0\nv 3 1 0\nv 2 2 0\nv 0 2 0\nf 1 2 3 4 5'
    expect(Array.from(readMesh(bytes(text), 'c.obj').triangles)).toEqual([0, 1, 2, 0, 2, 3, 0, 3, 4])
  })
  for (const [face, says] of [
    ['f 1 2', /line 4: a face needs three corners/],
    ['f 1 2 0', /line 4: .*a vertex that is not there \(0\)/],
    ['f 1 2 -4', /line 4: .*a vertex that is not there \(-4\)/],
    ['f 1 2 4', /line 4: .*a vertex that is not there \(4\)/],
    ['f 1 2 x', /line 4: "x" does not name a vertex/],
    ['f 1 2 1.5', /line 4: "1\.5" does not name a vertex/],
  ] as const)
    test(`${face} is refused`, () =>
      expect(() => readMesh(bytes(`v 0 0 0\nv 1 0 0\nv 0 1 0\n${face}`), 'c.obj')).toThrow(says))
})

describe('PLY', () => {
  const header = (...lines: string[]) => `ply\nformat ascii 1.0\n${lines.join('\n')}\nend_header\n`
  const xyz = ['property double x', 'property double y', 'property double z']

  test('quads, an element and properties that mean nothing here, vertex_index, lines ended by CR LF', () => {
    const text = `${header('element camera 1', 'property list int float matrix', 'element vertex 4', 'property float confidence', ...xyz, 'element face 1', 'property list uchar uint vertex_index', 'property list uchar float texcoord')}2 7.5 nan\nnan 0 0 0\n1 1 0 0\n1 1 1 0\n1 0 1 0\n4 0 1 2 3 2 0.5 0.5\n`
    for (const file of [text, text.replaceAll('\n', '\r\n')]) {
      const mesh = readMesh(bytes(file), 'c.ply')
      expect(Array.from(mesh.triangles)).toEqual([0, 1, 2, 0, 2, 3])
      expect(Array.from(mesh.positions)).toEqual([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0])
    }
  })
  test('faces before vertices', () => {
    const text = `${header('element face 1', 'property list uchar int vertex_indices', 'element vertex 3', ...xyz)}3 0 1 2\n0 0 0\n1 0 0\n0 1 0\n`
    expect(readMesh(bytes(text), 'c.ply').triangles).toHaveLength(3)
  })
  for (const [name, text, says] of [
    ['points alone', `${header('element vertex 1', ...xyz)}0 0 0\n`, /holds points but no faces/],
    [
      'a count beyond the bytes',
      `${header('element vertex 4000000000', ...xyz, 'element face 1', 'property list uchar int vertex_index')}0 0 0\n`,
      /more than 15 million vertices/,
    ],
    [
      'an index beyond the vertices',
      `${header('element vertex 3', ...xyz, 'element face 1', 'property list uchar int vertex_index')}0 0 0\n1 0 0\n0 1 0\n3 0 1 3\n`,
      /line 13: face 1 names a vertex that is not there \(3\)/,
    ],
    [
      'a face of two corners',
      `${header('element vertex 3', ...xyz, 'element face 1', 'property list uchar int vertex_index')}0 0 0\n1 0 0\n0 1 0\n2 0 1\n`,
      /face 1 has 2 corners/,
    ],
    [
      'no x, y, z',
      `${header('element vertex 1', 'property float u', 'element face 1', 'property list uchar int vertex_index')}1\n3 0 0 0\n`,
      /no x, y and z/,
    ],
    [
      'too few lines',
      `${header('element vertex 3', ...xyz, 'element face 1', 'property list uchar int vertex_index')}0 0 0\n1 0 0\n0 1 0\n3 0 1\n`,
      /cut short/,
    ],
    [
      'a type that is none',
      header('element vertex 3', 'property complex x'),
      /line 4: a property that is not/,
    ],
    [
      'a format that is none',
      'ply\nformat morse 1.0\nend_header\n',
      /line 2: a PLY format that is not known/,
    ],
    ['a header without an end', 'ply\nformat ascii 1.0\n', /header of the PLY file has no end/],
  ] as const)
    test(`${name} is refused`, () => {
      expect(() => readMesh(bytes(text), 'c.ply')).toThrow(says)
      expect(() => readMesh(bytes(text), 'c.ply')).toThrow(/^c\.ply: .*(export|copy|copied)/)
    })
  test('binary and cut short: refused', () => {
    for (const little of [true, false]) {
      const file = binaryPly(cube(10), little)
      for (const end of [file.length - 1, file.length - 200])
        expect(() => readMesh(file.subarray(0, end), 'c.ply')).toThrow(/cut short/)
    }
    expect(readMesh(textPly(cube(10)), 'c.ply').triangles).toHaveLength(36)
  })
})

test('text of two bytes a letter is refused with what to do', () => {
  const wide = Uint8Array.from([0xff, 0xfe, ...Array.from('v 0 0 0\n').flatMap((c) => [c.charCodeAt(0), 0])])
  expect(() => readMesh(wide, 'c.obj')).toThrow(/UTF-16.*save it as plain text/)
})

test('the name says nothing: an OBJ named .stl is read', () =>
  expect(readMeshFile(obj(together(cube(10), cube(5, [20, 0, 0]))), 'c.stl').format).toBe('obj'))
