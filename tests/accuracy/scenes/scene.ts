import {
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  normalize,
  perpendicularTo,
  type SurfaceGrid,
  type Vec3,
  type Volume,
  type WorldPoint,
} from '@alveometer/core'
import type { Random } from '@alveometer/phantom'
import type { TruthOfRay } from '../truth/ray-truth.js'

/** A scan with a fixture in it and the true outer surface. */
export interface RayScene {
  readonly volume: Volume
  readonly frame: FixtureFrame
  readonly profile: FixtureProfile
  readonly grid: SurfaceGrid
  readonly truth: TruthOfRay
}

/** A direction anywhere on the sphere. */
export const randomDirection = (random: Random): Vec3 =>
  normalize([random.normal(), random.normal(), random.normal()])

/** A place within half a voxel of 0, so that no edge keeps a place between voxels. */
export const randomShift = (random: Random, spacingMm: number): WorldPoint => {
  const shift = () => spacingMm * (random.uniform() - 0.5)
  return [shift(), shift(), shift()]
}

/** Some direction across an axis. */
export const randomAcross = (random: Random, axis: Vec3): Vec3 => {
  const across = randomDirection(random)
  return Math.abs(axis[0] * across[0] + axis[1] * across[1] + axis[2] * across[2]) < 0.9
    ? perpendicularTo(across, axis)
    : randomAcross(random, axis)
}

/** An axis leaning by an angle to some side, and facing anywhere. */
export function leaningFrame(
  random: Random,
  platform: WorldPoint,
  axis: Vec3,
  leanDeg: number,
): FixtureFrame {
  const side = randomAcross(random, axis)
  const lean = Math.tan((leanDeg * Math.PI) / 180)
  const apical = normalize([axis[0] + lean * side[0], axis[1] + lean * side[1], axis[2] + lean * side[2]])
  return fixtureFrame({ platform, apical }, randomAcross(random, apical))
}
