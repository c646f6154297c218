import type { Vec3 } from '../space/index.js'

/** A cylinder with flat ends, LPS mm. */
export interface CylinderMask {
  readonly fromMm: Vec3
  readonly toMm: Vec3
  readonly radiusMm: number
}

/** The part of a line inside a solid, in units of the line's direction. */
export interface Span {
  readonly enter: number
  readonly leave: number
}

export interface Solid {
  /** Bounding box. */
  readonly low: Vec3
  readonly high: Vec3
  /** The parts of the whole line `origin + t direction` inside, from low to high t. */
  spans(origin: Vec3, direction: Vec3): Span[]
}
