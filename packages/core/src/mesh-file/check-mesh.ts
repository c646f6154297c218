import type { Mesh } from '../space/index.js'
import { MeshError } from './mesh-error.js'
import { factsOf, type MeshFacts } from './mesh-facts.js'
import type { MeshNote, MeshNoteCode } from './mesh-note.js'
import { largestShell, type Shell, surveyShells, voidsOf } from './shells.js'
import { tidy } from './weld.js'
import { windAlike } from './winding.js'

export interface CheckedMesh {
  /** Repaired as the notes say: one shell and its voids, wound outward where it is closed. */
  readonly mesh: Mesh
  readonly facts: MeshFacts
  readonly notes: readonly MeshNote[]
}

/**
 * Puts a mesh in order and says what was wrong with it.
 * - Corners in one place become one vertex; triangles with two corners in one place and unused vertices go.
 * - Neighbours that are wound against each other are made alike, the fewer following the more.
 * - Of several shells the one of the greatest volume stays, with the voids inside it; an open shell counts with a lid.
 * - A closed mesh that is inside out is turned over. An open one is left as it is, and `facts.closed` is false.
 * Stored normals play no part, and holes are never filled.
 * @throws MeshError when no triangle remains.
 */
export function checkMesh(given: Mesh, fileName: string): CheckedMesh {
  const notes: MeshNote[] = []
  const say = (code: MeshNoteCode, text: string) => notes.push({ code, text: `${fileName} ${text}` })
  const tidied = tidy(given)
  if (tidied.mesh.triangles.length === 0)
    throw new MeshError(fileName, 'holds no triangle with three different corners: export it again')
  if (tidied.degenerate > 0)
    say(
      'degenerate-triangles',
      `has ${many(tidied.degenerate, 'triangle')} with two corners in one place, left out here. Nothing is lost.`,
    )
  const wound = windAlike(tidied.mesh)
  if (wound.turned > 0)
    say(
      'winding-repaired',
      `has ${many(wound.turned, 'triangle')} of ${wound.shellOf.length} wound against their neighbours, turned over here. If the shape looks torn, repair it where it was made.`,
    )
  const shells = surveyShells(wound)
  const main = largestShell(shells)
  const kept = new Set([main, ...voidsOf(main, shells, wound)])
  const loose = shells.length - kept.size
  if (loose > 0)
    say(
      'loose-shells',
      `has ${many(loose, 'more part')} that hang together with nothing, left out here: the largest alone was kept. If one belongs to the crown, join them and export it again.`,
    )
  const inverted = shells[main].closed && shells[main].volume < 0
  if (inverted)
    say(
      'turned-inside-out',
      'is wound inside out; all its triangles were turned over here. There is nothing to do.',
    )
  for (const { code, text } of doubts(shells[main])) say(code, text)
  const { mesh } = tidy(parts(wound.mesh, wound.shellOf, kept, inverted))
  const keptShells = [...kept].map((n) =>
    inverted ? { ...shells[n], volume: -shells[n].volume } : shells[n],
  )
  return { mesh, facts: factsOf(mesh, keptShells), notes }
}

/** Why a shell has no inside, or what is odd about its edges. */
function doubts({ openEdges, manyFaceEdges, oneSided, closed }: Shell): MeshNote[] {
  const notes: MeshNote[] = []
  const undefinedInside =
    'What is inside and what outside is undefined, and nothing is computed that needs it. Close it where it was made and export it again.'
  if (openEdges > 0)
    notes.push({
      code: 'open',
      text: `is open: ${many(openEdges, 'edge')} with a triangle on one side only. ${undefinedInside}`,
    })
  if (manyFaceEdges > 0)
    notes.push({
      code: 'edges-with-many-faces',
      text: `has ${many(manyFaceEdges, 'edge')} where more than two triangles meet. ${closed ? 'It is closed all the same.' : undefinedInside}`,
    })
  if (oneSided)
    notes.push({
      code: 'one-sided',
      text: `cannot be wound outward, it has one side only. ${undefinedInside}`,
    })
  if (!closed && notes.length === 0)
    notes.push({
      code: 'encloses-nothing',
      text: 'encloses nothing: it is a sheet of two layers. Export the crown as a solid.',
    })
  return notes
}

function parts(mesh: Mesh, shellOf: Int32Array, kept: ReadonlySet<number>, inverted: boolean): Mesh {
  const triangles: number[] = []
  for (let t = 0; t < shellOf.length; t++) {
    if (!kept.has(shellOf[t])) continue
    const [a, b, c] = mesh.triangles.subarray(3 * t, 3 * t + 3)
    if (inverted) triangles.push(a, c, b)
    else triangles.push(a, b, c)
  }
  return { positions: mesh.positions, triangles: new Uint32Array(triangles) }
}

const many = (count: number, thing: string): string => `${count} ${thing}${count === 1 ? '' : 's'}`
