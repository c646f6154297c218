import type { ImagePlane } from '@alveometer/core'
import { coarserPlane } from '../drawing/coarser-plane.js'

/** The planes that drawings show, and which of them have their pictures: most drags leave the section's as it is. */
export class Planes {
  readonly #shown: Record<string, ImagePlane> = {}
  /** Those whose pictures are there or on their way. */
  #pictured: Record<string, ImagePlane> = {}

  set(name: string, plane: ImagePlane): void {
    this.#shown[name] = plane
  }

  /** No picture is worth anything any more. */
  forget(): void {
    this.#pictured = {}
  }

  /** The planes that have no picture yet, at a step that misses nothing of the voxels; they count as pictured then. */
  take(spacingMm: readonly number[]): Record<string, ImagePlane> {
    const missing = Object.entries(this.#shown).filter(([name, plane]) => this.#pictured[name] !== plane)
    this.#pictured = { ...this.#shown }
    const stepMm = Math.min(...spacingMm) / 2
    return Object.fromEntries(missing.map(([name, plane]) => [name, coarserPlane(plane, stepMm)]))
  }
}
