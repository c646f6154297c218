import { checkCount, MOST_TRIANGLES, MOST_VERTICES, parseCoordinate } from './bounds.js'
import type { FileMesh } from './file-mesh.js'
import { MeshError } from './mesh-error.js'
import { eachLine } from './words.js'

/**
 * The polygons of an OBJ file, cut into fans. A vertex reference is `v`, `v/vt`, `v//vn` or `v/vt/vn`, counted from 1
 * or, negative, back from the last vertex. A fourth coordinate is the weight of curves and surfaces and says nothing
 * of polygons; colours may follow it. Format: appendix B1 of the Advanced Visualizer manual, Wavefront 1995.
 * @throws MeshError
 */
export function readObj(bytes: Uint8Array, fileName: string): FileMesh {
  const positions: number[] = []
  const triangles: number[] = []
  /** The highest vertex named so far: a face may stand before its vertices. */
  const highest = { vertex: -1, place: '' }
  let pending = ''
  const read = (text: string, line: number): void => {
    const words = text.trim().split(/\s+/)
    const place = `line ${line}`
    if (words[0] === 'v') {
      for (const axis of [1, 2, 3]) positions.push(parseCoordinate(words[axis], fileName, place))
      checkCount(positions.length / 3, MOST_VERTICES, 'vertices', fileName)
    }
    if (words[0] !== 'f') return
    if (words.length < 4)
      throw new MeshError(fileName, `${place}: a face needs three corners or more: export it again`)
    const corners = words.slice(1).map((word) => {
      const index = /^[+-]?\d{1,9}(?=$|\/)/.exec(word)?.[0]
      if (index === undefined)
        throw new MeshError(
          fileName,
          `${place}: "${word.slice(0, 40)}" does not name a vertex: export it again`,
        )
      const number = Number(index)
      const vertex = number < 0 ? positions.length / 3 + number : number - 1
      if (vertex < 0) throw missing(fileName, place, number)
      if (vertex > highest.vertex) Object.assign(highest, { vertex, place })
      return vertex
    })
    for (let n = 2; n < corners.length; n++) triangles.push(corners[0], corners[n - 1], corners[n])
    checkCount(triangles.length / 3, MOST_TRIANGLES, 'triangles', fileName)
  }
  eachLine(bytes, (line, number) => {
    // A backslash joins a line with the next.
    if (line.endsWith('\\')) {
      pending += `${line.slice(0, -1)} `
      return
    }
    read(pending + line, number)
    pending = ''
  })
  if (highest.vertex >= positions.length / 3) throw missing(fileName, highest.place, highest.vertex + 1)
  return {
    mesh: { positions: new Float64Array(positions), triangles: new Uint32Array(triangles) },
    format: 'obj',
    unitMm: null,
    notes: [],
  }
}

const missing = (fileName: string, place: string, vertex: number): MeshError =>
  new MeshError(
    fileName,
    `${place}: the face names a vertex that is not there (${vertex}), the file may be cut short: copy or export it again`,
  )
