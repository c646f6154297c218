/// <reference path="./vtk.d.ts" />
import type { Mesh } from '@alveometer/core'
import caseTable from '@kitware/vtk.js/Filters/General/ImageMarchingCubes/caseTable.js'
import type { Field } from './field.js'

/** The table numbers cube corners round each face; here bit 0, 1, 2 of a corner is its step along x, y, z. */
const CORNER_OF_BIT = [0, 1, 3, 2, 4, 5, 7, 6] as const

/** For each edge of the cube: its lower corner's steps along x, y, z, the axis it runs along, and its two corners. */
const EDGES = Array.from({ length: 12 }, (_, edge) => {
  const [a, b] = caseTable.getEdge(edge)
  const low = a & b
  return { dx: low & 1, dy: (low >> 1) & 1, dz: low >> 2, axis: Math.log2(a ^ b), a: low, b: a | b }
})

/**
 * The surface `value = iso` of a field, in the field's own grid coordinates, shared vertices, closed.
 * The winding faces the lower values as long as the grid is right-handed. Positions are float64.
 *
 * The case table is vtk.js'; its filter around that table is not used because it prints to the console, works in
 * float32 and keeps every vertex in a keyed map (Lorensen and Cline 1987 describe the method).
 */
export function marchingCubes(field: Field, iso: number): Mesh {
  const { values } = field
  const [nx, ny, nz] = field.shape
  const plane = nx * ny
  const offsets = Array.from({ length: 8 }, (_, c) => (c & 1) + ((c >> 1) & 1) * nx + (c >> 2) * plane)
  const positions: number[] = []
  const triangles: number[] = []
  // Vertices on the edges that start in this layer and the next; two layers take turns.
  const onEdge = new Int32Array(2 * plane * 3).fill(-1)

  const vertexOn = (edge: number, i: number, j: number, k: number, at: number): number => {
    const { dx, dy, dz, axis, a, b } = EDGES[edge] as (typeof EDGES)[number]
    const slot = ((((k + dz) & 1) * ny + j + dy) * nx + i + dx) * 3 + axis
    const known = onEdge[slot] as number
    if (known >= 0) return known
    const from = values[at + (offsets[a] as number)] as number
    const to = values[at + (offsets[b] as number)] as number
    const t = (iso - from) / (to - from)
    const made = positions.length / 3
    positions.push(
      i + dx + (axis === 0 ? t : 0),
      j + dy + (axis === 1 ? t : 0),
      k + dz + (axis === 2 ? t : 0),
    )
    onEdge[slot] = made
    return made
  }

  for (let k = 0; k < nz - 1; k++) {
    const next = ((k + 1) & 1) * plane * 3
    onEdge.fill(-1, next, next + plane * 3)
    for (let j = 0; j < ny - 1; j++)
      for (let i = 0; i < nx - 1; i++) {
        const at = k * plane + j * nx + i
        let index = 0
        for (let bit = 0; bit < 8; bit++)
          if ((values[at + (offsets[CORNER_OF_BIT[bit] as number] as number)] as number) >= iso)
            index |= 1 << bit
        if (index === 0 || index === 255) continue
        const edges = caseTable.getCase(index)
        for (let e = 0; (edges[e] as number) >= 0; e++)
          triangles.push(vertexOn(edges[e] as number, i, j, k, at))
      }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
