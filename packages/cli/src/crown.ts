import { readFile } from 'node:fs/promises'
import {
  checkTooth,
  crownFromMesh,
  findCrownFrame,
  importMesh,
  type Mesh,
  type MeshFacts,
  type MeshNote,
  type MeshNoteCode,
  meshFacts,
  scaledMesh,
  sizeOf,
  toRows,
  transformPoint,
  type UnitProposal,
  type Vec3,
} from '@alveometer/core'
import { type CommandLine, optional, required, UsageError } from './command-line.js'

/** Lengths in mm; places and frames in the mesh's own coordinates times its unit. */
export interface CrownReport {
  readonly file: string
  readonly format: string
  readonly unit: {
    /** Null where the file states none. */
    readonly statedMm: number | null
    /** What the numbers below were reckoned with. */
    readonly usedMm: number
    /** Never applied unless chosen by --unit. */
    readonly proposals: readonly UnitProposal[]
  }
  readonly facts: MeshFacts
  readonly notes: readonly MeshNote[]
  /** With --tooth. */
  readonly crown?: FoundCrown
}

export interface FoundCrown {
  readonly tooth: string
  /** From the crown frame to the mesh's coordinates, 16 numbers row by row, as a plan's crown.frame. */
  readonly frame: readonly number[]
  readonly residualMm: number
  /** False where another frame fits nearly as well: look before relying on it. */
  readonly sure: boolean
  readonly alternatives: readonly { readonly frame: readonly number[]; readonly residualMm: number }[]
  readonly size: ReturnType<typeof sizeOf>
  readonly landmarks: Readonly<Record<string, Vec3>>
}

/** What is in a crown's mesh file, and with a tooth where and how large the crown is. */
export async function crown(line: CommandLine): Promise<CrownReport> {
  const path = required(line, 'mesh')
  const tooth = optional(line, 'tooth')
  if (tooth !== undefined) checkTooth(tooth)
  const unitMm = readUnit(optional(line, 'unit'))
  const imported = importMesh(await bytesOf(path), path)
  const { format, statedUnitMm, unitProposals, notes } = imported
  if (statedUnitMm !== null && unitMm !== undefined)
    throw new UsageError(`${path}: the file states its unit itself. Leave --unit out.`)
  const chosen = unitMm !== undefined
  const mesh = chosen ? scaledMesh(imported.mesh, unitMm) : imported.mesh
  return {
    file: path,
    format,
    unit: {
      statedMm: statedUnitMm,
      usedMm: unitMm ?? statedUnitMm ?? 1,
      proposals: chosen ? [] : unitProposals,
    },
    facts: chosen ? meshFacts(mesh) : imported.facts,
    notes: chosen ? notes.filter(({ code }) => !UNIT_NOTES.includes(code)) : notes,
    ...(tooth === undefined ? {} : { crown: findCrown(mesh, tooth, path) }),
  }
}

/** Said of the file's own numbers as millimetres. */
const UNIT_NOTES: readonly MeshNoteCode[] = ['unit-unlikely', 'size-unlikely', 'larger-than-a-crown']

function findCrown(mesh: Mesh, tooth: string, path: string): FoundCrown {
  try {
    const { frame, residualMm, sure, alternatives } = findCrownFrame(mesh, tooth)
    const found = crownFromMesh(mesh, tooth, frame)
    return {
      ...{ tooth, frame: toRows(frame), residualMm, sure },
      alternatives: alternatives.map((other) => ({
        frame: toRows(other.frame),
        residualMm: other.residualMm,
      })),
      size: sizeOf(found),
      landmarks: Object.fromEntries(
        Object.entries(found.landmarks).map(([name, place]: [string, Vec3]) => [
          name,
          transformPoint(frame, place),
        ]),
      ),
    }
  } catch (error) {
    if (error instanceof RangeError) throw new UsageError(`${path}: ${error.message}`)
    throw error
  }
}

/** Millimetres in a unit, by the names that unit proposals have and the usual short ones. Inch and foot: by definition. */
const UNIT_MM: ReadonlyMap<string, number> = new Map([
  ['mm', 1],
  ['cm', 10],
  ['centimetre', 10],
  ['metre', 1000],
  ['micrometre', 0.001],
  ['inch', 25.4],
  ['foot', 304.8],
])

function readUnit(name: string | undefined): number | undefined {
  if (name === undefined) return undefined
  const unitMm = UNIT_MM.get(name)
  if (unitMm === undefined)
    throw new UsageError(`--unit must be one of ${[...UNIT_MM.keys()].join(', ')}; got ${name}`)
  return unitMm
}

async function bytesOf(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch {
    throw new UsageError(`${path}: the crown's mesh cannot be read. Check the path and that it may be read.`)
  }
}
