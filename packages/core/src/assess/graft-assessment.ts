import type { GraftOutlines, GraftSize, GraftSpec, GraftWalls } from '../graft/index.js'
import type { MapRows } from './map-rows.js'
import type { MarginCover } from './margin-cover.js'

import type { Sourced } from './retention-result.js'

/** What of the margins tells how a graft changes them. */
export type GraftedMargin = MarginCover

/** A published class that the numbers would be described by. */
export interface DefectClass extends Sourced {
  /** "Seibert 1983", "Benic and Hammerle 2014" ... */
  readonly scheme: string
  readonly class: string
}

/** A planned graft: how much, where, and what it changes. The margins before it are the assessment's own. */
export interface GraftAssessment {
  readonly spec: GraftSpec
  readonly built: GraftSize
  /** What is expected to remain. */
  readonly kept: GraftSize
  readonly depthsMm: readonly number[]
  readonly anglesDeg: readonly number[]
  /** Distances from the fixture's axis, mm; null where nothing is grafted. */
  readonly innerMm: MapRows<number | null>
  readonly outerMm: MapRows<number | null>
  readonly keptMm: MapRows<number | null>
  /** In the section plane, LPS mm. */
  readonly outlines: GraftOutlines
  readonly after: GraftedMargin
  readonly afterLoss: GraftedMargin
  readonly walls: GraftWalls
  /** Rays without data, over which nothing could be said. */
  readonly openRays: number
  /** How far the natural contour stays below the wanted thickness at most, mm; 0 when it does not. */
  readonly cappedMm: number
  readonly classes: readonly DefectClass[]
  /** What speaks for grafting with the fixture, or before it. */
  readonly timing: { readonly simultaneous: readonly Sourced[]; readonly staged: readonly Sourced[] }
}
