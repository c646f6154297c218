export type MeshNoteCode =
  | 'extra-bytes'
  | 'no-end'
  | 'supports-left-out'
  | 'degenerate-triangles'
  | 'loose-shells'
  | 'winding-repaired'
  | 'turned-inside-out'
  | 'open'
  | 'edges-with-many-faces'
  | 'one-sided'
  | 'encloses-nothing'
  | 'unit-unlikely'
  | 'size-unlikely'
  | 'larger-than-a-crown'

/** Something about a mesh file that was repaired or that a person should know: the file, what it is, what to do. */
export interface MeshNote {
  readonly code: MeshNoteCode
  readonly text: string
}
