import type { GraftMeshes, Mesh } from '@alveometer/core'
import { BoneShown } from './bone-shown.js'
import { GraftShown } from './graft-shown.js'
import type { Workbench } from './workbench.js'

/** What the 3D view shows beside fixture and crown, made by the engine while the view is looked at. */
export class SceneBodies {
  readonly #bone = new BoneShown()
  readonly #graft = new GraftShown()

  get shown(): { readonly bone: Mesh | null; readonly graft: GraftMeshes | null } {
    return { bone: this.#bone.mesh, graft: this.#graft.meshes }
  }

  /** Brings them up to date; `changed` is called for each that is another. */
  async follow(bench: Workbench, changed: () => void): Promise<void> {
    const told = async (another: Promise<boolean>): Promise<void> => {
      if (await another) changed()
    }
    await Promise.all([told(this.#bone.follow(bench)), told(this.#graft.follow(bench))])
  }
}
