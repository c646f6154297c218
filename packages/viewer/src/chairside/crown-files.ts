import { type Mesh, type PlacedCrown, type Plan, placedCrown } from '@alveometer/core'
import type { Engine } from '../engine/engine.js'

export interface CrownFilesHost {
  /** Something to be shown is another. */
  changed(): void
  /** A file could not be used. */
  refuse(message: string): void
}

/** The meshes of planned crowns by the names of their files. */
export class CrownFiles {
  readonly #meshes = new Map<string, Mesh>()
  readonly #engine: Engine
  readonly #host: CrownFilesHost

  constructor(engine: Engine, host: CrownFilesHost) {
    this.#engine = engine
    this.#host = host
  }

  /** The file that a plan's crown needs and that is not here; null when there is none. */
  missing({ crown }: Plan): string | null {
    return crown.kind === 'mesh' && !this.#meshes.has(crown.file) ? crown.file : null
  }

  /** A plan's crown where it stands; null while its mesh is not here, or when it cannot be used. */
  placed(plan: Plan): PlacedCrown | null {
    const { crown } = plan
    const mesh = crown.kind === 'mesh' ? this.#meshes.get(crown.file) : undefined
    if (crown.kind === 'mesh' && mesh === undefined) return null
    try {
      return placedCrown(plan, mesh)
    } catch (error) {
      // Why it cannot be used is told by the measurement, which meets the same.
      if (error instanceof RangeError) return null
      throw error
    }
  }

  /** Reads a crown's mesh file. A plan that names it has its crown again. */
  async read(file: File): Promise<void> {
    try {
      const { mesh } = await this.#engine.readCrown(file.name, new Uint8Array(await file.arrayBuffer()))
      this.#keep(file.name, mesh)
    } catch (error) {
      this.#host.refuse(error instanceof Error ? error.message : String(error))
    }
  }

  #keep(file: string, mesh: Mesh): void {
    this.#meshes.set(file, mesh)
    this.#engine.keepCrown(file, mesh)
    this.#host.changed()
  }
}
