import type {
  FixtureShape,
  LimitsCounted,
  PlacementError,
  Plan,
  TiltChartSpec,
  WayOut,
} from '@alveometer/core'

export interface ChartRequest {
  readonly plan: Plan
  readonly spec: TiltChartSpec
}

export interface WaysRequest {
  readonly plan: Plan
  /** Sizes that may be placed; the plan's own when absent. */
  readonly shapes?: readonly FixtureShape[]
}

export interface CloudRequest {
  readonly plan: Plan
  readonly error: PlacementError
  /** The way that the plan takes; by what its channel does when absent. */
  readonly way?: WayOut
  /** `all` when absent. */
  readonly counted?: LimitsCounted
}
