import type { Vec3 } from '../space/index.js'

/** The profile from the platform's rim to the crown's cervical margin in one direction. */
export interface EmergenceProfile {
  /** Round the crown's long axis: 0 facial, growing towards +y of the crown frame. */
  readonly angleDeg: number
  readonly side:
    | 'facial'
    | 'mesiofacial'
    | 'mesial'
    | 'mesio-oral'
    | 'oral'
    | 'disto-oral'
    | 'distal'
    | 'distofacial'
  /**
   * Between the straight line from rim to margin and the fixture axis, looking square at the plane of the axis and this
   * direction, as a picture across would show it; negative where the line runs inward, over 90 degrees where it runs apically.
   */
  readonly emergenceDeg: number
  /** LPS mm. */
  readonly rim: Vec3
  readonly margin: Vec3
}

/** How deep and how far facially the platform lies under the crown. Depths along the crown's long axis, apical positive, mm. */
export interface Emergence {
  /** The crown's zenith: the most apical point of its facial cervical margin, LPS mm. The planned mucosal margin. */
  readonly zenith: Vec3
  readonly belowMarginMm: number
  /** Below the marked CEJ of each neighbour; null where it is not marked. */
  readonly belowMesialCejMm: number | null
  readonly belowDistalCejMm: number | null
  /** From the platform to the crown's highest point: the room for the restoration where the bite is as the crown. */
  readonly crownHeightMm: number
  /** Eight directions, 45 degrees apart. */
  readonly profile: readonly EmergenceProfile[]
  /** How far the platform's facial rim lies oral of the crown's facial cervical margin, mm; negative: facial of it. */
  readonly rimOralOfEmergenceMm: number
}
