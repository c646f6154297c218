import { column, cross, dot, type Mat4, multiply, transformPoint, vertex } from '../space/index.js'
import { checkCoordinate, checkCount, MOST_TRIANGLES } from './bounds.js'
import type { FileMesh } from './file-mesh.js'
import { MeshError } from './mesh-error.js'
import type { MeshNote } from './mesh-note.js'
import { type ModelPart, type ModelReference, readModelPart } from './model-part.js'
import { readXml } from './xml.js'
import { openZip, type Zip } from './zip.js'

const RELATIONSHIPS = 'http://schemas.openxmlformats.org/package/2006/relationships'
const START_PART = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel'
const USUAL_PART = '3D/3dmodel.model'

/** Components within components, and meshes put in place, beyond which a file is made to never end. Own choice. */
const DEEPEST = 32
const MOST_PLACED = 100_000

/**
 * All that the build of a 3MF file puts in place, as one mesh, in the file's unit: items, their components and the
 * transforms of both. Supports are left out. A mirroring transform turns the triangles over, so that what was outside
 * stays outside (3MF Core Specification, 3.3). The model is the package's start part, or 3D/3dmodel.model.
 * @throws MeshError
 */
export function read3mf(bytes: Uint8Array, fileName: string): FileMesh {
  const zip = openZip(bytes, fileName)
  const parts = new Map<string, ModelPart>()
  const partOf = (name: string, place: string): ModelPart => {
    const known = parts.get(name)
    if (known) return known
    const entry = zip.entry(name)
    if (!entry)
      throw new MeshError(fileName, `${place}: the part ${name} is not there: export it again as 3MF`)
    const part = readModelPart(entry, name, fileName)
    parts.set(name, part)
    return part
  }
  const start = startPart(zip, fileName)
  const model = partOf(start, 'the package')
  if (model.items.length === 0)
    throw new MeshError(
      fileName,
      `${start}: nothing is to be built: put the crown on the plate and export it again`,
    )
  const positions: number[] = []
  const triangles: number[] = []
  let placed = 0
  let supports = 0
  const put = (reference: ModelReference, from: string, outer: Mat4 | undefined, depth: number): void => {
    const { objectId, path, transform, place } = reference
    const name = path === undefined ? from : partName(path)
    const object = partOf(name, place).objects.get(objectId)
    if (!object) throw new MeshError(fileName, `${place}: object ${objectId} is not there: export it again`)
    if (depth > DEEPEST || ++placed > MOST_PLACED)
      throw new MeshError(fileName, `${place}: components without end: export the crown alone`)
    const matrix = outer && transform ? multiply(outer, transform) : (outer ?? transform)
    for (const component of object.components) put(component, name, matrix, depth + 1)
    if (object.mesh.triangles.length === 0) return
    if (object.type === 'support' || object.type === 'solidsupport') {
      supports++
      return
    }
    checkCount((triangles.length + object.mesh.triangles.length) / 3, MOST_TRIANGLES, 'triangles', fileName)
    const first = positions.length / 3
    for (let n = 0; n < object.mesh.positions.length / 3; n++) {
      const p = vertex(object.mesh, n)
      for (const value of matrix ? transformPoint(matrix, p) : p)
        positions.push(checkCoordinate(value, fileName, place))
    }
    const { triangles: of } = object.mesh
    const [second, third] = matrix && isMirror(matrix) ? [2, 1] : [1, 2]
    for (let t = 0; t < of.length; t += 3)
      triangles.push(first + of[t], first + of[t + second], first + of[t + third])
  }
  for (const item of model.items) put(item, start, undefined, 0)
  const notes: MeshNote[] =
    supports === 0
      ? []
      : [
          {
            code: 'supports-left-out',
            text: `${fileName} holds ${supports === 1 ? 'a support' : `${supports} supports`} for printing, left out here. If part of the crown is missing, export it without supports.`,
          },
        ]
  return {
    mesh: { positions: new Float64Array(positions), triangles: new Uint32Array(triangles) },
    format: '3mf',
    unitMm: model.unitMm,
    notes,
  }
}

const isMirror = (m: Mat4): boolean => dot(cross(column(m, 0), column(m, 1)), column(m, 2)) < 0

/** Part names begin with a slash, entries of the zip do not. */
const partName = (path: string): string => path.replace(/^\/+/, '')

function startPart(zip: Zip, fileName: string): string {
  const relationships = zip.entry('_rels/.rels')
  let target: string | undefined
  if (relationships)
    readXml(relationships, '_rels/.rels', fileName, {
      open: ({ name, namespace, attribute }) => {
        if (name === 'Relationship' && namespace === RELATIONSHIPS && attribute('Type') === START_PART)
          target ??= attribute('Target')
      },
      close: () => {},
    })
  if (target !== undefined) return partName(target)
  if (zip.has(USUAL_PART)) return USUAL_PART
  throw new MeshError(
    fileName,
    'is a zip but holds no 3MF model: unpack it, or export the crown as 3MF or STL',
  )
}
