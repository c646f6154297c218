import {
  type ImportedMesh,
  likelierPlace,
  type MeshPlace,
  type PlacedCrown,
  type Plan,
  type PlannedMeshCrown,
  placedCrown,
} from '@alveometer/core'
import type { CrownChoice } from '../crown-form/crown-choice.js'
import { type CrownFile, CrownMeshes } from '../engine/crown-meshes.js'
import type { Engine } from '../engine/engine.js'

export interface CrownFilesHost {
  plan(): Plan
  /** The plan as a person wants it with a crown of a file. */
  adopt(plan: Plan): void
  /** Something to be shown is another. */
  changed(): void
  /** A file could not be used. */
  refuse(message: string): void
}

/** A mesh file that was read and of which a person has to say how it is meant. */
export interface CrownQuestion {
  readonly of: CrownFile
  readonly imported: ImportedMesh
  /** The choice is being carried out. */
  readonly busy: boolean
  /** Why a choice could not be carried out. */
  readonly problem: string
}

/** A crown that may lie otherwise in its file. */
export interface CrownDoubt {
  /** All the ways, the likeliest first. */
  readonly ways: readonly PlannedMeshCrown[]
  readonly shown: number
}

/** The mesh files of planned crowns: read, asked about, kept. */
export class CrownFiles {
  question: CrownQuestion | null = null
  doubt: CrownDoubt | null = null
  readonly #meshes = new CrownMeshes()
  readonly #engine: Engine
  readonly #host: CrownFilesHost

  constructor(engine: Engine, host: CrownFilesHost) {
    this.#engine = engine
    this.#host = host
  }

  /** The file that a plan's crown needs and that is not here; null when there is none. */
  missing(plan: Plan): string | null {
    const { crown } = plan
    return crown.kind === 'mesh' && this.#meshes.of(plan) === undefined ? crown.file : null
  }

  /** A plan's crown where it stands; null while its mesh is not here, or when it cannot be used. */
  placed(plan: Plan): PlacedCrown | null {
    const mesh = this.#meshes.of(plan)
    if (plan.crown.kind === 'mesh' && mesh === undefined) return null
    try {
      return placedCrown(plan, mesh)
    } catch (error) {
      // Why it cannot be used is told by the measurement, which meets the same.
      if (error instanceof RangeError) return null
      throw error
    }
  }

  /** Reads a mesh file. A plan that waits for it has its crown again; else it is asked how it is meant. */
  async read(file: File): Promise<void> {
    try {
      const bytes = new Uint8Array(await file.arrayBuffer())
      const { imported, fingerprint } = await this.#engine.readCrown(file.name, bytes)
      const of = { file: file.name, fingerprint }
      if (this.#isAwaited(of)) this.#keep(of, imported)
      else this.#ask({ of, imported, busy: false, problem: '' })
    } catch (error) {
      this.#host.refuse(error instanceof Error ? error.message : String(error))
    }
  }

  /** Where the mesh that is asked about stands likelier. */
  readonly likelier = (unitMm: number): MeshPlace =>
    this.question === null
      ? 'site'
      : likelierPlace(this.#host.plan(), this.question.imported.mesh, { unitMm })

  /** Carries out what a person chose for the file that is asked about. */
  async choose(choice: CrownChoice): Promise<void> {
    const { question } = this
    if (question === null || question.busy) return
    const busy = { ...question, busy: true, problem: '' }
    this.#ask(busy)
    const { of, imported } = question
    try {
      const { mesh } = imported
      const { crown, sure, others } = await this.#engine.adoptCrown({
        ...{ plan: this.#host.plan(), of, mesh, choice },
      })
      if (this.question !== busy) return
      this.#keep(of, imported)
      this.doubt = sure || crown.kind !== 'mesh' ? null : { ways: [crown, ...others], shown: 0 }
      this.#ask(null)
      this.#host.adopt({ ...this.#host.plan(), crown })
    } catch (error) {
      const problem = error instanceof Error ? error.message : String(error)
      if (this.question === busy) this.#ask({ ...question, problem })
    }
  }

  /** The file that is asked about is not wanted. */
  leave(): void {
    this.#ask(null)
  }

  /** The next way in which the crown may lie in its file; null: it lies as it is shown. */
  tryWay(next: number | null): void {
    const { doubt } = this
    const way = next === null ? undefined : doubt?.ways[next % doubt.ways.length]
    if (doubt === null || way === undefined) this.doubt = null
    else {
      this.doubt = { ...doubt, shown: doubt.ways.indexOf(way) }
      this.#host.adopt({ ...this.#host.plan(), crown: way })
    }
    this.#host.changed()
  }

  #isAwaited({ file, fingerprint }: CrownFile): boolean {
    const plan = this.#host.plan()
    const { crown } = plan
    if (this.missing(plan) !== file || crown.kind !== 'mesh') return false
    return crown.fingerprint === undefined || crown.fingerprint === fingerprint
  }

  #keep(of: CrownFile, { mesh }: ImportedMesh): void {
    this.#meshes.keep(of, mesh)
    this.#engine.keepCrown(of, mesh)
    this.#host.changed()
  }

  #ask(question: CrownQuestion | null): void {
    this.question = question
    this.#host.changed()
  }
}
