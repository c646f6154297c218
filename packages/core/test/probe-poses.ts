import type { AccessProbe, ChannelQuestion, Crown } from '../src/crown/index.js'
import {
  accessExit,
  accessProbe,
  angledChannel,
  EXIT_LIMITS,
  isPosterior,
  oralSide,
} from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { distance, invert, normalize, subtract, transformPoint } from '../src/space/index.js'
import { type Aim, aimed, deg, POSE, rad } from './channel-aim.js'
import { seeded } from './random-meshes.js'

/** Fixtures up to 3 mm beside the crown's axis, 1 to 4.5 mm below its margin, leaning by up to 40 and 25 degrees. */
export function strewnAims(seed: number, count: number): Aim[] {
  const next = seeded(seed)
  const within = (most: number) => most * (2 * next() - 1)
  return Array.from({ length: count }, () => ({
    platform: [within(3), within(3), 1 + 3.5 * next()],
    facialDeg: within(40),
    plusYDeg: within(25),
  }))
}

export const probeOf = (crown: Crown, limits: ChannelQuestion['limits'] = {}): AccessProbe =>
  accessProbe(aimed(crown, { platform: [0, 0, 0] }, limits))

/** What is asked of a probe about an aim. */
export function place(crown: Crown, aim: Aim): [platform: Vec3, apical: Vec3] {
  const { platform, apical } = aimed(crown, aim).fixture
  return [platform, apical]
}

const local = (p: Vec3): Vec3 => transformPoint(invert(POSE), p)

/** Whether a channel from a place of the crown frame along a direction leaves where it is wanted, as an upright fixture there is told. */
export function isMet(crown: Crown, from: Vec3, [x, y, z]: Vec3): boolean {
  const [facialDeg, plusYDeg] = [deg(Math.atan2(x, -z)), deg(Math.atan2(y, -z))]
  const exit = accessExit(aimed(crown, { platform: from, facialDeg, plusYDeg }))
  if (exit.region === 'base' || exit.offsetMm === null) return false
  if (isPosterior(crown.tooth)) return exit.class === 'occlusal'
  return exit.class === oralSide(crown.tooth) && exit.offsetMm <= -EXIT_LIMITS.wantedPalatalMm
}

/**
 * The least bend of an aim held to the crown itself, in words where it is wrong: the exit told is met; none of `count`
 * strewn directions at a lesser bend is.
 */
export function wrongBend(crown: Crown, aim: Aim, next: () => number, count: number): string | null {
  const { least, pivot } = angledChannel(aimed(crown, aim))
  if (pivot === null) return 'no bend'
  const from = local(pivot)
  if (least && least.correctionDeg > 0 && !isMet(crown, from, subtract(local(least.exit), from)))
    return `${least.correctionDeg} is not met`
  const { facialDeg = 0, plusYDeg = 0 } = aim
  const axis = normalize([Math.tan(rad(facialDeg)), Math.tan(rad(plusYDeg)), -1])
  const u = normalize(subtract([1, 0, 0], [axis[0] * axis[0], axis[0] * axis[1], axis[0] * axis[2]]))
  const v: Vec3 = [
    axis[1] * u[2] - axis[2] * u[1],
    axis[2] * u[0] - axis[0] * u[2],
    axis[0] * u[1] - axis[1] * u[0],
  ]
  const most = (least?.correctionDeg ?? 60) - 0.01
  if (!(most > 0)) return null
  for (let n = 0; n < count; n++) {
    // Denser near the border, where a lesser bend would be.
    const bend = rad(most * (1 - next() ** 3))
    const azimuth = 2 * Math.PI * next()
    const [a, b, c] = [Math.cos(bend), Math.sin(bend) * Math.cos(azimuth), Math.sin(bend) * Math.sin(azimuth)]
    const at = (k: 0 | 1 | 2) => a * axis[k] + b * u[k] + c * v[k]
    const direction: Vec3 = [at(0), at(1), at(2)]
    if (direction[2] < 0 && isMet(crown, from, direction))
      return `${least?.correctionDeg} but ${deg(bend)} towards ${deg(azimuth)} is met`
  }
  return null
}

/** How far a place is from the crown's occlusal table's outline, found by walking along it in small steps. */
export function walkedDistance(outline: NonNullable<Crown['occlusalTable']>, x: number, y: number): number {
  const steps = 200
  return outline.reduce((least, p, i) => {
    const q = outline[(i + 1) % outline.length]
    const walked = Array.from({ length: steps }, (_, n) => {
      const k = n / steps
      return distance([x, y, 0], [p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1]), 0])
    })
    return Math.min(least, ...walked)
  }, Number.POSITIVE_INFINITY)
}
