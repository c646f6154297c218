import { strToU8, zipSync } from 'fflate'
import { corners, type Mesh, vertex } from '../src/index.js'

// Mesh files as the formats prescribe them, written apart from the readers. Coordinates are written in full; binary
// STL and PLY hold 32-bit floats.

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)
const count = (mesh: Mesh): number => mesh.triangles.length / 3
const vertices = (mesh: Mesh) => Array.from({ length: mesh.positions.length / 3 }, (_, n) => vertex(mesh, n))
const faces = ({ triangles }: Mesh): number[][] =>
  Array.from({ length: triangles.length / 3 }, (_, t) => Array.from(triangles.subarray(3 * t, 3 * t + 3)))

export function binaryStl(mesh: Mesh, header = 'written here', extra = 0): Uint8Array {
  const data = new DataView(new ArrayBuffer(84 + 50 * count(mesh) + extra))
  const bytes = new Uint8Array(data.buffer)
  bytes.set(encode(header))
  data.setUint32(80, count(mesh), true)
  for (let t = 0; t < count(mesh); t++)
    for (const [c, corner] of corners(mesh, t).entries())
      for (const [axis, value] of corner.entries())
        data.setFloat32(84 + 50 * t + 12 + 12 * c + 4 * axis, value, true)
  return bytes
}

export function textStl(mesh: Mesh, name = 't'): Uint8Array {
  const facets = Array.from({ length: count(mesh) }, (_, t) => {
    const loop = corners(mesh, t).map((corner) => `      vertex ${corner.join(' ')}`)
    return `  facet normal 0 0 0\n    outer loop\n${loop.join('\n')}\n    endloop\n  endfacet`
  })
  return encode(`solid ${name}\n${facets.join('\n')}\nendsolid ${name}\n`)
}

/** `reference`: how a face names the vertex of an index counted from 0. */
export function obj(mesh: Mesh, reference = (index: number): string => `${index + 1}`): Uint8Array {
  return encode(
    [
      '# written here',
      ...vertices(mesh).map((p) => `v ${p.join(' ')}`),
      'vt 0 0',
      'vn 0 0 1',
      ...faces(mesh).map((face) => `f ${face.map(reference).join(' ')}`),
      '',
    ].join('\n'),
  )
}

const plyHeader = (mesh: Mesh, format: string, more: readonly string[] = []): string =>
  [
    'ply',
    `format ${format} 1.0`,
    'comment written here',
    `element vertex ${mesh.positions.length / 3}`,
    'property float x',
    'property float y',
    'property float z',
    'property uchar red',
    ...more,
    `element face ${count(mesh)}`,
    'property uchar flags',
    'property list uchar int vertex_indices',
    'end_header',
    '',
  ].join('\n')

export function textPly(mesh: Mesh): Uint8Array {
  const rows = [
    ...vertices(mesh).map((p) => `${p.join(' ')} 255`),
    ...faces(mesh).map((face) => `0 3 ${face.join(' ')}`),
  ]
  return encode(`${plyHeader(mesh, 'ascii')}${rows.join('\n')}\n`)
}

/** Vertices with a list and a double that mean nothing to a mesh. */
export function binaryPly(mesh: Mesh, littleEndian: boolean): Uint8Array {
  const header = encode(
    plyHeader(mesh, `binary_${littleEndian ? 'little' : 'big'}_endian`, [
      'property list uchar short neighbours',
      'property double quality',
    ]),
  )
  const size = (mesh.positions.length / 3) * (12 + 1 + 1 + 4 + 8) + count(mesh) * (1 + 1 + 12)
  const bytes = new Uint8Array(header.length + size)
  bytes.set(header)
  const data = new DataView(bytes.buffer)
  let at = header.length
  for (const p of vertices(mesh)) {
    for (const [axis, value] of p.entries()) data.setFloat32(at + 4 * axis, value, littleEndian)
    at += 12
    data.setUint8(at, 255)
    data.setUint8(at + 1, 2)
    data.setInt16(at + 2, -7, littleEndian)
    data.setFloat64(at + 6, Number.NaN, littleEndian)
    at += 14
  }
  for (const face of faces(mesh)) {
    data.setUint8(at + 1, 3)
    for (const [n, index] of face.entries()) data.setInt32(at + 2 + 4 * n, index, littleEndian)
    at += 14
  }
  return bytes
}

export const RELATIONSHIPS =
  '<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rel0" Target="/3D/3dmodel.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'

export const meshXml = (mesh: Mesh): string =>
  `<mesh><vertices>${vertices(mesh)
    .map(([x, y, z]) => `<vertex x="${x}" y="${y}" z="${z}"/>`)
    .join('')}</vertices><triangles>${faces(mesh)
    .map(([a, b, c]) => `<triangle v1="${a}" v2="${b}" v3="${c}"/>`)
    .join('')}</triangles></mesh>`

export const modelXml = (resources: string, build: string, attributes = 'unit="millimeter"'): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<model ${attributes} xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">\n<resources>${resources}</resources>\n<build>${build}</build>\n</model>`

/** A 3MF package of these parts. */
export const zipped = (parts: Readonly<Record<string, string | Uint8Array>>, level: 0 | 6 = 6): Uint8Array =>
  zipSync(
    Object.fromEntries(
      Object.entries(parts).map(([name, part]) => [name, typeof part === 'string' ? strToU8(part) : part]),
    ),
    // The same bytes whenever they are written.
    { level, mtime: new Date(2020, 0, 1) },
  )

export const threeMf = (mesh: Mesh, unit = 'millimeter', level: 0 | 6 = 6): Uint8Array =>
  zipped(
    {
      '_rels/.rels': RELATIONSHIPS,
      '3D/3dmodel.model': modelXml(
        `<object id="1" type="model">${meshXml(mesh)}</object>`,
        '<item objectid="1"/>',
        `unit="${unit}"`,
      ),
    },
    level,
  )

/** Every format that can be read, by name. */
export const WRITERS: readonly (readonly [string, (mesh: Mesh) => Uint8Array])[] = [
  ['binary STL', (mesh) => binaryStl(mesh)],
  ['text STL', (mesh) => textStl(mesh)],
  ['OBJ', (mesh) => obj(mesh)],
  ['text PLY', textPly],
  ['binary PLY, little-endian', (mesh) => binaryPly(mesh, true)],
  ['binary PLY, big-endian', (mesh) => binaryPly(mesh, false)],
  ['3MF', (mesh) => threeMf(mesh)],
  ['3MF, not packed', (mesh) => threeMf(mesh, 'millimeter', 0)],
]
