import type { FixtureShape } from '../fixture/index.js'
import type { HeldLimit, WayOut } from './held-limit.js'
import type { FixturePose } from './pose.js'
import type { PlatformAtPose, PoseMeasures, WallAtPose } from './pose-measures.js'

/** What a way was searched for: the greatest least reserve, the least graft or the least bend. */
export interface WayObjective {
  readonly name: 'reserve' | 'graft' | 'bend'
  readonly value: number
  readonly unit: 'mm' | 'mm3' | 'deg'
}

/** The best placement of one way; where there is none, the placement that comes nearest. */
export interface WayFound {
  readonly way: WayOut
  /** Whether every limit that the way is held to is kept. */
  readonly exists: boolean
  readonly pose: FixturePose
  readonly shape: FixtureShape
  readonly objective: WayObjective
  readonly measures: PoseMeasures
  readonly platform: PlatformAtPose
  /** Of the straight channel. */
  readonly wall: WallAtPose
  /** The bend planned: angled way only. */
  readonly bendDeg: number | null
  /** Every limit the way is held to. */
  readonly held: readonly HeldLimit[]
  /** Those that stop it from being better: their reserve is used up. Empty where the search box does. */
  readonly binding: readonly HeldLimit[]
  /** Where the way does not exist: the limits that cannot be kept together, with what is missing. */
  readonly conflict: readonly HeldLimit[]
  /** In one or two sentences: what it comes to, or why there is none. */
  readonly words: string
}

/** The four ways out of a site. Plain and serialisable. */
export interface WaysOut {
  readonly schema: 'alveometer-ways-out'
  readonly version: 1
  readonly tooth: string
  /** In the order of WAYS_OUT. */
  readonly ways: readonly WayFound[]
  /** What was planned, measured alike. */
  readonly present: {
    readonly pose: FixturePose
    readonly shape: FixtureShape
    readonly measures: PoseMeasures
  }
  readonly shapes: readonly FixtureShape[]
  /** Margins are held to the limit and so much more, mm: what the refined measurement may differ by. */
  readonly inHandMm: number
  readonly uncertaintyMm: number
  /** Poses measured. */
  readonly measured: number
  /** False for a first answer that is still being searched further. */
  readonly complete: boolean
  readonly cautions: readonly string[]
}
