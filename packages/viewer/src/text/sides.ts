import type { Vec3 } from '@alveometer/core'

/** The six sides of a patient, in words, with their direction in LPS. */
export const sides = ['Right', 'Left', 'Front', 'Back', 'Head', 'Feet'] as const
export type Side = (typeof sides)[number]

const directions: Readonly<Record<Side, Vec3>> = {
  Right: [-1, 0, 0],
  Left: [1, 0, 0],
  Front: [0, -1, 0],
  Back: [0, 1, 0],
  Head: [0, 0, 1],
  Feet: [0, 0, -1],
}

export const directionOf = (side: Side): Vec3 => directions[side]

/** 0 right-left, 1 front-back, 2 head-feet. */
export const axisOf = (side: Side): number => sides.indexOf(side) >> 1

export const oppositeOf = (side: Side): Side => sides[sides.indexOf(side) ^ 1] as Side

/** The side a direction points to most. */
export function sideOf(direction: Vec3): Side {
  const axis = [0, 1, 2].reduce((best, n) =>
    Math.abs(direction[n] as number) > Math.abs(direction[best] as number) ? n : best,
  )
  const positive = (direction[axis] as number) > 0
  return sides[2 * axis + (axis === 2 ? (positive ? 0 : 1) : positive ? 1 : 0)] as Side
}
