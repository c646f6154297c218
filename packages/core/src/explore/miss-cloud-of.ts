import type { LimitsCounted, WayOut } from './held-limit.js'
import type { PlacementError } from './miss-cloud-result.js'

/** What a cloud is of. */
export interface CloudOf {
  readonly way: WayOut
  readonly error: PlacementError
  readonly surfaceSdMm: number
  readonly counted: LimitsCounted
  readonly draws: number
  readonly seed: number
}
