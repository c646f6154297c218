import { describe, expect, test } from 'vitest'
import { enclosedVolume, importMesh, MeshError, readMesh, readMeshFile, vertex } from '../src/index.js'
import { cube } from './mesh-solids.js'
import { meshXml, modelXml, RELATIONSHIPS, threeMf, zipped } from './mesh-writers.js'

const object = (id: number, body = meshXml(cube(1)), type = 'model') =>
  `<object id="${id}" type="${type}">${body}</object>`
const file = (resources: string, build: string, attributes?: string) =>
  zipped({ '_rels/.rels': RELATIONSHIPS, '3D/3dmodel.model': modelXml(resources, build, attributes) })
const boxOf = (bytes: Uint8Array) => {
  const { positions } = readMesh(bytes, 'c.3mf')
  const axis = (a: number) => Array.from(positions.filter((_, n) => n % 3 === a))
  return [0, 1, 2].map((a) => [Math.min(...axis(a)), Math.max(...axis(a))])
}

describe('the build', () => {
  test('an item is moved by the last row of its transform', () => {
    const item = '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 10 20 30"/>'
    expect(boxOf(file(object(1), item))).toEqual([
      [10, 11],
      [20, 21],
      [30, 31],
    ])
  })
  test('the rows of a transform are the images of the axes', () => {
    // x to 2 y, y to 3 z, z to 4 x.
    const item = '<item objectid="1" transform="0 2 0 0 0 3 4 0 0 0 0 0"/>'
    expect(boxOf(file(object(1), item))).toEqual([
      [0, 4],
      [0, 2],
      [0, 3],
    ])
  })
  test('the transform of a component comes before that of its item', () => {
    const assembly = object(
      2,
      '<components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components>',
    )
    const item = '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 1"/>'
    expect(boxOf(file(object(1) + assembly, item))).toEqual([
      [10, 12],
      [0, 2],
      [1, 3],
    ])
  })
  test('several items and components become one mesh', () => {
    const pair = object(
      2,
      '<components><component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components>',
    )
    const build = '<item objectid="2"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 9 0"/>'
    const mesh = readMesh(file(object(1) + pair, build), 'c.3mf')
    expect(mesh.triangles).toHaveLength(3 * 36)
    expect(enclosedVolume(mesh)).toBeCloseTo(3, 12)
  })
  test('what is mirrored keeps its inside in', () => {
    const item = '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>'
    const mesh = readMesh(file(object(1), item), 'c.3mf')
    expect(enclosedVolume(mesh)).toBeCloseTo(1, 12)
    expect(Math.min(...mesh.positions)).toBe(-1)
  })
  test('an object that no item names is left out; supports are left out and said', () => {
    const resources = object(1) + object(2, meshXml(cube(9))) + object(3, meshXml(cube(7)), 'support')
    const { mesh, notes } = readMeshFile(file(resources, '<item objectid="1"/><item objectid="3"/>'), 'c.3mf')
    expect(enclosedVolume(mesh)).toBeCloseTo(1, 12)
    expect(notes.map(({ code }) => code)).toEqual(['supports-left-out'])
  })
  test('inch with a component moved by an inch', () => {
    const assembly = object(
      2,
      '<components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 1 0 0"/></components>',
    )
    const half = object(1, meshXml(cube(0.5)))
    const { facts } = importMesh(file(half + assembly, '<item objectid="2"/>', 'unit="inch"'), 'c.3mf')
    expect(facts.box.low[0]).toBeCloseTo(25.4, 9)
    expect(facts.volumeMm3).toBeCloseTo(12.7 ** 3, 6)
  })
})

describe('the package', () => {
  test('millimetres where the model says no unit', () =>
    expect(readMeshFile(file(object(1), '<item objectid="1"/>', 'requiredextensions=""'), 'c').unitMm).toBe(
      1,
    ))
  test('the start part is where the relationship says, else 3D/3dmodel.model', () => {
    const model = modelXml(object(1), '<item objectid="1"/>')
    const elsewhere = zipped({
      '_rels/.rels': RELATIONSHIPS.replace('/3D/3dmodel', '/Crown/a'),
      'crown/A.MODEL': model,
    })
    expect(readMesh(elsewhere, 'c.3mf').triangles).toHaveLength(36)
    expect(readMesh(zipped({ '3D/3dmodel.model': model }), 'c.3mf').triangles).toHaveLength(36)
  })
  test('objects of another part, by the production extension', () => {
    const extension =
      'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" requiredextensions="p"'
    const bytes = zipped({
      '_rels/.rels': RELATIONSHIPS,
      '3D/3dmodel.model': modelXml('', '<item objectid="7" p:path="/3D/Objects/one.model"/>', extension),
      '3D/Objects/one.model': modelXml(object(7), ''),
    })
    expect(readMesh(bytes, 'c.3mf').triangles).toHaveLength(36)
  })
  test('names with a prefix, and vertices of another extension beside', () => {
    const core = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02'
    const mesh = meshXml(cube(1)).replaceAll(/<(\/?)(\w)/g, '<$1m:$2')
    const text = `<m:model xmlns:m="${core}" xmlns:s="other"><m:resources><s:vertex x="no"/><m:object id="1">${mesh}</m:object></m:resources><m:build><m:item objectid="1"/></m:build></m:model>`
    expect(readMesh(zipped({ '3D/3dmodel.model': text }), 'c.3mf').triangles).toHaveLength(36)
  })
  test('UTF-16 of both byte orders', () => {
    const text = `\ufeff${modelXml(object(1), '<item objectid="1"/>').replace('UTF-8', 'UTF-16')}`
    for (const little of [true, false]) {
      const wide = new Uint8Array(2 * text.length)
      const data = new DataView(wide.buffer)
      for (let n = 0; n < text.length; n++) data.setUint16(2 * n, text.charCodeAt(n), little)
      expect(readMesh(zipped({ '3D/3dmodel.model': wide }), 'c.3mf').triangles).toHaveLength(36)
    }
  })
  test('vertices come as they stand', () =>
    expect(vertex(readMesh(threeMf(cube(2, [1, 2, 3])), 'c'), 7)).toEqual([3, 4, 5]))
})

describe('refused with file, place and remedy', () => {
  const one = '<item objectid="1"/>'
  for (const [name, bytes, says] of [
    ['a zip of something else', zipped({ 'readme.txt': 'hello' }), /a zip but holds no 3MF model: unpack it/],
    ['an empty build', file(object(1), ''), /nothing is to be built/],
    ['an object that is not there', file(object(1), '<item objectid="9"/>'), /line 4: object 9 is not there/],
    ['a unit that is none', file(object(1), one, 'unit="cubit"'), /line 2: the unit "cubit" is none of 3MF/],
    [
      'a comma',
      file(object(1, meshXml(cube(1)).replace('x="1"', 'x="1,0"')), one),
      /line 3: "1,0" has a comma/,
    ],
    [
      'a missing coordinate',
      file(object(1, meshXml(cube(1)).replace('x="1"', '')), one),
      /line 3: a coordinate is missing/,
    ],
    [
      'a vertex that is not there',
      file(object(1, meshXml(cube(1)).replace('v1="4"', 'v1="8"')), one),
      /a vertex that is not there \(8\)/,
    ],
    [
      'a transform of nine numbers',
      file(object(1), '<item objectid="1" transform="1 0 0 0 1 0 0 0 1"/>'),
      /9 numbers, not 12/,
    ],
    [
      'an extension that changes the shape',
      file(
        object(1),
        one,
        'xmlns:b="http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02" requiredextensions="b"',
      ),
      /needs the 3MF extension "b"/,
    ],
    ['XML that is broken', file(object(1).replace('</vertices>', ''), one), /line 3: not well-formed XML/],
    [
      'entities',
      zipped({ '3D/3dmodel.model': '<!DOCTYPE model [<!ENTITY a "aaaa">]><model>&a;</model>' }),
      /a document type has no place/,
    ],
    [
      'an assembly of itself',
      file(object(1, '<components><component objectid="1"/></components>'), one),
      /components without end/,
    ],
    ['another XML', zipped({ '3D/3dmodel.model': '<svg/>' }), /not a model of the 3MF core specification/],
  ] as const)
    test(name, () => {
      expect(() => readMesh(bytes, 'my crown.3mf')).toThrow(says)
      expect(() => readMesh(bytes, 'my crown.3mf')).toThrow(MeshError)
      expect(() => readMesh(bytes, 'my crown.3mf')).toThrow(/^my crown\.3mf: .*(export|unpack|copy)/i)
    })

  test('components that multiply without end', () => {
    const layers = Array.from({ length: 20 }, (_, n) =>
      object(n + 2, `<components>${`<component objectid="${n + 1}"/>`.repeat(10)}</components>`),
    )
    expect(() => readMesh(file(object(1) + layers.join(''), '<item objectid="21"/>'), 'c.3mf')).toThrow(
      /components without end|million triangles/,
    )
  })
  test('elements nested without end', () =>
    expect(() => readMesh(zipped({ '3D/3dmodel.model': '<a>'.repeat(1e6) }), 'c.3mf')).toThrow(
      /nested too deep/,
    ))
  test('a tag without end', () =>
    expect(() => readMesh(zipped({ '3D/3dmodel.model': `<a ${'x'.repeat(2e6)}` }), 'c.3mf')).toThrow(
      /has no end/,
    ))
  test('a directory that promises more than there can be', () => {
    const bytes = threeMf(cube(1))
    const data = new DataView(bytes.buffer, bytes.byteOffset)
    for (let at = 0; at + 30 < bytes.length; at++)
      if (data.getUint32(at, true) === 0x02014b50) data.setUint32(at + 24, 0x7fffffff, true)
    expect(() => readMesh(bytes, 'c.3mf')).toThrow(/claims to hold/)
  })
  test('a bit that is wrong in the packed model', () => {
    const bytes = threeMf(cube(1), 'millimeter', 0)
    const at = bytes.findIndex((_, n) => String.fromCharCode(...bytes.subarray(n, n + 5)) === 'x="1"')
    bytes[at + 3] ^= 1
    expect(() => readMesh(bytes, 'c.3mf')).toThrow(/check sum of 3D\/3dmodel\.model is wrong/)
  })
})
