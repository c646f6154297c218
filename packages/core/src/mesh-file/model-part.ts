import { fromFrame, type Mat4, type Mesh } from '../space/index.js'
import { checkCount, MOST_TRIANGLES, MOST_VERTICES, parseCoordinate } from './bounds.js'
import { MeshError } from './mesh-error.js'
import { readXml, type XmlElement } from './xml.js'

/** An object named by a build item or a component. */
export interface ModelReference {
  readonly objectId: string
  /** The part it stands in, where that is another one. */
  readonly path: string | undefined
  /** Undefined where it stays where it is. */
  readonly transform: Mat4 | undefined
  readonly place: string
}

export interface ModelObject {
  readonly type: string
  readonly mesh: Mesh
  readonly components: readonly ModelReference[]
}

/** A 3D model part of a 3MF package. */
export interface ModelPart {
  readonly unitMm: number
  readonly objects: ReadonlyMap<string, ModelObject>
  readonly items: readonly ModelReference[]
}

const CORE = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02'
const PRODUCTION = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06'
/** Extensions that a model may require: the production one is read, the others do not change the shape. */
const UNDERSTOOD = new Set([
  PRODUCTION,
  'http://schemas.microsoft.com/3dmanufacturing/material/2015/02',
  'http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07',
])

/** 3MF Core Specification, ST_Unit; an inch is 25.4 mm by definition. */
const UNITS: ReadonlyMap<string, number> = new Map([
  ...([
    ['micron', 0.001],
    ['millimeter', 1],
    ['centimeter', 10],
  ] as const),
  ...([
    ['inch', 25.4],
    ['foot', 304.8],
    ['meter', 1000],
  ] as const),
])

/** More objects, components and items than any plate of crowns has. Own choice. */
const MOST_REFERENCES = 100_000

/**
 * A 3D model part. Format: 3MF Core Specification 1.3, chapters 3 and 4, and `path` of the Production Extension.
 * `name`: that of the part, for errors.
 * @throws MeshError
 */
export function readModelPart(bytes: Uint8Array, name: string, fileName: string): ModelPart {
  const objects = new Map<string, ModelObject>()
  const items: ModelReference[] = []
  let unitMm: number | undefined
  let object: { id: string; type: string; components: ModelReference[]; place: string } | undefined
  let positions: number[] = []
  let triangles: number[] = []
  let references = 0
  const count = (): void => {
    if (++references > MOST_REFERENCES)
      throw new MeshError(fileName, `${name}: more than ${MOST_REFERENCES} objects: export the crown alone`)
  }
  const open: Readonly<Record<string, (element: XmlElement) => void>> = {
    model: (element) => {
      unitMm = unitOf(element, fileName)
      checkExtensions(element, fileName)
    },
    object: (element) => {
      count()
      object = {
        id: element.attribute('id') ?? '',
        type: element.attribute('type') ?? 'model',
        components: [],
        place: element.place(),
      }
      positions = []
      triangles = []
    },
    vertex: (element) => {
      for (const axis of ['x', 'y', 'z'])
        positions.push(parseCoordinate(element.attribute(axis)?.trim(), fileName, element.place()))
      checkCount(positions.length / 3, MOST_VERTICES, 'vertices', fileName)
    },
    triangle: (element) => {
      for (const corner of ['v1', 'v2', 'v3'])
        triangles.push(vertexNumber(element.attribute(corner)?.trim(), fileName, element.place()))
      checkCount(triangles.length / 3, MOST_TRIANGLES, 'triangles', fileName)
    },
    component: (element) => {
      count()
      object?.components.push(referenceOf(element, fileName))
    },
    item: (element) => {
      count()
      items.push(referenceOf(element, fileName))
    },
  }
  readXml(bytes, name, fileName, {
    open(element) {
      if (element.namespace !== CORE || !Object.hasOwn(open, element.name)) return
      if (unitMm === undefined && element.name !== 'model') return
      open[element.name](element)
    },
    close(element, namespace) {
      if (namespace !== CORE || element !== 'object' || !object) return
      const { id, type, components, place } = object
      const vertices = positions.length / 3
      const beyond = triangles.find((vertex) => vertex >= vertices)
      if (beyond !== undefined)
        throw new MeshError(
          fileName,
          `${place}: a triangle of object ${id} names a vertex that is not there (${beyond}): export it again`,
        )
      const mesh = { positions: new Float64Array(positions), triangles: new Uint32Array(triangles) }
      objects.set(id, { type, mesh, components })
      object = undefined
    },
  })
  if (unitMm === undefined)
    throw new MeshError(
      fileName,
      `${name} is not a model of the 3MF core specification: export it again as 3MF`,
    )
  return { unitMm, objects, items }
}

function unitOf(element: XmlElement, fileName: string): number {
  const word = element.attribute('unit') ?? 'millimeter'
  const unitMm = UNITS.get(word)
  if (unitMm !== undefined) return unitMm
  throw new MeshError(
    fileName,
    `${element.place()}: the unit "${word.slice(0, 40)}" is none of 3MF (${[...UNITS.keys()].join(', ')}): export it again`,
  )
}

function checkExtensions(element: XmlElement, fileName: string): void {
  for (const prefix of (element.attribute('requiredextensions') ?? '').split(/\s+/)) {
    if (prefix === '' || UNDERSTOOD.has(element.namespaceOf(prefix) ?? '')) continue
    throw new MeshError(
      fileName,
      `${element.place()}: the model needs the 3MF extension "${prefix.slice(0, 40)}", which is not read here: export plain triangles`,
    )
  }
}

function vertexNumber(word: string | undefined, fileName: string, place: string): number {
  if (word !== undefined && /^\d{1,9}$/.test(word)) return Number(word)
  throw new MeshError(
    fileName,
    `${place}: a triangle names the vertex "${(word ?? '').slice(0, 40)}", which is no number: export it again`,
  )
}

function referenceOf(element: XmlElement, fileName: string): ModelReference {
  const place = element.place()
  const words = element.attribute('transform')?.trim().split(/\s+/)
  if (words && words.length !== 12)
    throw new MeshError(
      fileName,
      `${place}: a transform has ${words.length} numbers, not 12: export it again`,
    )
  const m = words?.map((word) => parseCoordinate(word, fileName, place))
  return {
    objectId: element.attribute('objectid') ?? '',
    path: element.attribute('path', PRODUCTION),
    // Row vectors times a 4 x 3 matrix (3MF Core Specification, 3.3): its rows are the images of the axes and the origin.
    transform:
      m && fromFrame([m[0], m[1], m[2]], [m[3], m[4], m[5]], [m[6], m[7], m[8]], [m[9], m[10], m[11]]),
    place,
  }
}
