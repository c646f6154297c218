import type { ChannelQuestion, Crown } from '../src/crown/index.js'
import type { Mat4, Vec3 } from '../src/space/index.js'
import { fromFrame, transformDirection, transformPoint } from '../src/space/index.js'

export const rad = (deg: number): number => (deg * Math.PI) / 180
export const deg = (value: number): number => (value * 180) / Math.PI

const tilt = rad(20)

/** Tooth 11 somewhere in the mouth, leaning. */
export const POSE: Mat4 = fromFrame(
  [0, -Math.cos(tilt), -Math.sin(tilt)],
  [1, 0, 0],
  [0, -Math.sin(tilt), Math.cos(tilt)],
  [4.5, -60, 12],
)

/** A fixture in the crown frame: platform, and its axis tilted as told when carried coronally. */
export interface Aim {
  readonly platform: Vec3
  readonly facialDeg?: number
  readonly plusYDeg?: number
}

/** The question about a fixture that is aimed in the crown frame, put in LPS. */
export function aimed(
  crown: Crown,
  { platform, facialDeg = 0, plusYDeg = 0 }: Aim,
  limits: ChannelQuestion['limits'] = {},
  pose = POSE,
): ChannelQuestion {
  const apical: Vec3 = [-Math.tan(rad(facialDeg)), -Math.tan(rad(plusYDeg)), 1]
  return {
    crown,
    pose,
    fixture: { platform: transformPoint(pose, platform), apical: transformDirection(pose, apical) },
    site: { tooth: crown.tooth, facial: [0, -1, 0], coronal: [0, 0, -1] },
    limits,
  }
}

/** The paths of numbers in a record that are not finite. */
export function notFinite(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path]
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${path}/${key}`))
}
