import type { Mesh } from '../space/index.js'
import type { MeshNote } from './mesh-note.js'

export type MeshFormat = 'stl-binary' | 'stl-text' | 'obj' | 'ply' | '3mf'

/** What a mesh file holds, in the file's own coordinates and unit. */
export interface FileMesh {
  readonly mesh: Mesh
  readonly format: MeshFormat
  /** Millimetres in a unit of the file; null where the file does not say: STL, OBJ and PLY have no place for it. */
  readonly unitMm: number | null
  /** What was passed over in reading. */
  readonly notes: readonly MeshNote[]
}
