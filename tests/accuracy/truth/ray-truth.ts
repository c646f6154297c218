import type { Vec3, WorldPoint } from '@alveometer/core'

/** Where a ray from inside really leaves bone. */
export interface RayTruth {
  /** From its start to the outer surface, mm. */
  readonly distanceMm: number
  /** The plate it leaves through, along the surface's normal, mm; NaN where the scene does not say, 0 beside a hole. */
  readonly thicknessMm: number
}

export type TruthOfRay = (start: WorldPoint, direction: Vec3) => RayTruth
