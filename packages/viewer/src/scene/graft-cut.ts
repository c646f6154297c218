import type { GraftMeshes, Mat4, Polyline } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { type Orbit, type PixelSize, project } from './orbit.js'
import { outlineInCut, type ScenePlacement } from './placement.js'

/** The lines in which the cut meets a graft, LPS mm. */
export interface GraftCut {
  readonly built: readonly Polyline[]
  readonly kept: readonly Polyline[]
}

const unmoved: Mat4 = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]

/**
 * A graft lies on the bone, whose surface would show in place of its own inside where a cut lays it open: its section is
 * drawn instead.
 */
export class GraftInCut {
  #graft: GraftMeshes | null = null
  #placement: ScenePlacement | null = null
  #cut: GraftCut | null = null

  /** Sliced again only when graft or fixture is another one. */
  of(graft: GraftMeshes, placement: ScenePlacement): GraftCut {
    if (this.#cut !== null && graft === this.#graft && placement === this.#placement) return this.#cut
    const sliced = (mesh: GraftMeshes['built']) => outlineInCut({ mesh, pose: unmoved }, placement)
    this.#graft = graft
    this.#placement = placement
    this.#cut = { built: sliced(graft.built), kept: sliced(graft.kept) }
    return this.#cut
  }
}

/** The section of a graft: as built, and on it what is expected to remain. */
export function graftSection(orbit: Orbit, size: PixelSize, { built, kept }: GraftCut): SVGTemplateResult {
  const d = (lines: readonly Polyline[]): string =>
    lines
      .map(({ points, closed }) => {
        const pixels = points.map((p) => {
          const [x, y] = project(orbit, size, p)
          return `${x.toFixed(1)},${y.toFixed(1)}`
        })
        return `M${pixels.join('L')}${closed ? 'Z' : ''}`
      })
      .join('')
  return svg`<path class="graft-section" d=${d(built)} fill-rule="evenodd"></path>
    <path class="graft-section kept" d=${d(kept)} fill-rule="evenodd"></path>`
}
