export type { FileMesh, MeshFormat } from './file-mesh.js'
export { MeshError } from './mesh-error.js'
export type { MeshNote, MeshNoteCode } from './mesh-note.js'
export { readMesh, readMeshFile } from './read-mesh.js'
