import { cross, length, type Mesh, scale, subtract, type Vec3, vertex } from '@alveometer/core'

/** 80 bytes; must not begin with "solid", which text STL begins with. */
const HEADER_BYTES = 80
const TRIANGLE_BYTES = 50

/** A mesh as binary STL, in its own coordinates as single floats; the header says in words what they are. */
export function stlFile(mesh: Mesh, header: string): Uint8Array {
  const { triangles } = mesh
  const count = triangles.length / 3
  const bytes = new Uint8Array(HEADER_BYTES + 4 + TRIANGLE_BYTES * count)
  bytes.set(new TextEncoder().encode(header.padEnd(HEADER_BYTES)).subarray(0, HEADER_BYTES))
  const view = new DataView(bytes.buffer)
  view.setUint32(HEADER_BYTES, count, true)
  for (let n = 0; n < count; n++) {
    const corners = [0, 1, 2].map((k) => vertex(mesh, triangles[3 * n + k]))
    const at = HEADER_BYTES + 4 + TRIANGLE_BYTES * n
    ;[facetNormal(corners), ...corners].flat().forEach((v, k) => {
      view.setFloat32(at + 4 * k, v, true)
    })
  }
  return bytes
}

/** Unit, out of the side from which the corners run anticlockwise; 0 for a triangle without area, as the format has it. */
function facetNormal([a, b, c]: readonly Vec3[]): Vec3 {
  const normal = cross(subtract(b, a), subtract(c, a))
  const size = length(normal)
  return size > 0 ? scale(normal, 1 / size) : [0, 0, 0]
}
