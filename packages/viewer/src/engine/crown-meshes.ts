import type { Mesh, Plan, PlannedMeshCrown } from '@alveometer/core'

/** Which file a crown's mesh is from. */
export type CrownFile = Pick<PlannedMeshCrown, 'file' | 'fingerprint'>

/** The meshes of crown files that were read, as they hold them. Other files may bear the same name. */
export class CrownMeshes {
  readonly #meshes = new Map<string, Mesh>()

  keep({ file, fingerprint }: CrownFile, mesh: Mesh): void {
    this.#meshes.set(keyOf(file, fingerprint), mesh)
    // A plan that does not say which file of the name it means takes the last one.
    this.#meshes.set(keyOf(file, undefined), mesh)
  }

  /** The mesh of a plan's crown; undefined when it needs none, or when it is not here. */
  of({ crown }: Plan): Mesh | undefined {
    return crown.kind === 'mesh' ? this.#meshes.get(keyOf(crown.file, crown.fingerprint)) : undefined
  }
}

const keyOf = (file: string, fingerprint: string | undefined): string => `${fingerprint ?? ''} ${file}`
