import { type Mesh, scaledMesh } from '../space/index.js'
import { checkMesh } from './check-mesh.js'
import type { MeshFormat } from './file-mesh.js'
import type { MeshFacts } from './mesh-facts.js'
import type { MeshNote } from './mesh-note.js'
import { readMeshFile } from './read-mesh.js'
import { judgeUnit, type UnitProposal } from './unit-proposal.js'

/** A mesh file put in order, and what was wrong with it. Plain data. */
export interface ImportedMesh {
  readonly fileName: string
  readonly format: MeshFormat
  /**
   * In the file's axes; mm where the file states its unit, else in the file's numbers, which are taken for
   * millimetres until a person chooses another unit. One shell and its voids.
   */
  readonly mesh: Mesh
  /** Millimetres in the file's unit as the file states it, already applied to the mesh; null where it states none. */
  readonly statedUnitMm: number | null
  /** Units in which the size would be likely, the likeliest first; empty where it is likely as it is. */
  readonly unitProposals: readonly UnitProposal[]
  /** Of the mesh above, so that `closed` says whether inside and outside may be computed with. */
  readonly facts: MeshFacts
  readonly notes: readonly MeshNote[]
}

/**
 * Reads a mesh file (see readMeshFile), puts the mesh in order (see checkMesh) and looks whether its size is that of a
 * crown. No format tells LPS from RAS or one side of the mouth from the other: `lpsRasSwapped` and `mirroredMesh`.
 * @throws MeshError naming the file, the place in it and the remedy.
 */
export function importMesh(bytes: Uint8Array, fileName: string): ImportedMesh {
  const file = readMeshFile(bytes, fileName)
  const inMm = file.unitMm === null || file.unitMm === 1 ? file.mesh : scaledMesh(file.mesh, file.unitMm)
  const checked = checkMesh(inMm, fileName)
  const unit = judgeUnit(checked.facts, file.unitMm, fileName)
  return {
    fileName,
    format: file.format,
    mesh: checked.mesh,
    statedUnitMm: file.unitMm,
    unitProposals: unit.proposals,
    facts: checked.facts,
    notes: [...file.notes, ...checked.notes, ...unit.notes],
  }
}
