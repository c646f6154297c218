import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import {
  along,
  axisPoint,
  cross,
  dot,
  type FixtureFrame,
  type FixtureProfile,
  length,
  radialDirection,
  radiusAtMm,
  subtract,
  type WorldPoint,
} from '@alveometer/core'

/** The answers for one fixture of a simulated scan, as its truth.json writes them: [depth][angle]. */
export interface SimulatedFixture {
  readonly name: string
  readonly plan: string
  readonly depthsMm: readonly number[]
  readonly anglesDeg: readonly number[]
  /** Fixture surface to the first exit from bone; null unless the state is 'bone'. */
  readonly radialMarginMm: readonly (readonly (number | null)[])[]
  /** Places in stateCodes. */
  readonly state: readonly (readonly number[])[]
  readonly minimum: { readonly marginMm: number }
}

export interface SimulatedTruth {
  readonly stateCodes: readonly string[]
  readonly fixtures: readonly SimulatedFixture[]
}

/** The folder of a simulated scan beside the repository; null where it is not on this machine. */
export function simulatedFolder(name: string): string | null {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'package-lock.json'))) folder = dirname(folder)
  const path = join(folder, '..', 'shared', 'data', 'simulated-cbct', name)
  return existsSync(path) ? path : null
}

export const simulatedTruth = (folder: string): SimulatedTruth =>
  JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8'))

/** Rays so near to one that meets a tooth that the tooth's blur, or its socket's wall, lies beside their edge. */
const NEAR_TOOTH_MM = 1.5

/**
 * Whether a ray's exit lies within 1.5 mm of a ray that meets a tooth: of depths and angles as the arc they span at the
 * exit's distance from the axis, (depth - depth')^2 + (r (angle - angle'))^2 <= 1.5^2.
 */
export function nearTooth(
  { depthsMm, anglesDeg, state }: SimulatedFixture,
  toothCode: number,
  [row, column]: readonly [number, number],
  exitRadiusMm: number,
): boolean {
  const arcMm = (n: number) => {
    const turn = Math.abs(anglesDeg[n] - anglesDeg[column])
    return ((Math.min(turn, 360 - turn) * Math.PI) / 180) * exitRadiusMm
  }
  return depthsMm.some(
    (depth, r) =>
      Math.abs(depth - depthsMm[row]) <= NEAR_TOOTH_MM &&
      anglesDeg.some(
        (_, c) => state[r][c] === toothCode && Math.hypot(depth - depthsMm[row], arcMm(c)) <= NEAR_TOOTH_MM,
      ),
  )
}

/**
 * The angle between a ray and the outward normal where it leaves bone, 0 when it leaves squarely: the normal is the cross
 * product of the differences of the neighbouring rays' exits in depth and angle. NaN where a neighbour is missing on both
 * sides.
 */
export function incidenceDeg(
  { depthsMm, anglesDeg, radialMarginMm }: SimulatedFixture,
  frame: FixtureFrame,
  profile: FixtureProfile,
  [row, column]: readonly [number, number],
): number {
  const columns = anglesDeg.length
  const exit = (r: number, c: number): WorldPoint | null => {
    const at = (c + columns) % columns
    const marginMm = radialMarginMm[r]?.[at] ?? null
    if (marginMm === null) return null
    const radiusMm = marginMm + radiusAtMm(profile, depthsMm[r])
    return along(axisPoint(frame, depthsMm[r]), radialDirection(frame, anglesDeg[at]), radiusMm)
  }
  const here = exit(row, column)
  if (here === null) return Number.NaN
  const across = (before: WorldPoint | null, after: WorldPoint | null) =>
    subtract(after ?? here, before ?? here)
  const normal = cross(
    across(exit(row - 1, column), exit(row + 1, column)),
    across(exit(row, column - 1), exit(row, column + 1)),
  )
  const cosine = Math.abs(dot(normal, radialDirection(frame, anglesDeg[column]))) / length(normal)
  return (Math.acos(Math.min(1, cosine)) * 180) / Math.PI
}
