import {
  along,
  type FixtureShape,
  fixtureProfile,
  fromRows,
  multiply,
  normalize,
  type Plan,
  type PlannedFixture,
  subtract,
  toRows,
  type Vec3,
} from '@alveometer/core'
import { fromSite, inSite, mesialSign, rotationAbout, siteFrame } from './site-frame.js'

/** The point that stays where it is while a fixture tilts. */
export type Pivot = 'platform' | 'centre' | 'apex'

/**
 * How a fixture leans, as seen in the two drawings of a site: the angle between its axis and the crown's long axis,
 * projected on the facial-palatal and on the mesial-distal plane. Positive: the coronal end leans facially or mesially.
 */
export interface Tilt {
  readonly facialDeg: number
  readonly mesialDeg: number
}

const degrees = 180 / Math.PI
const steepestDeg = 80
const sizes = { diameterMm: [1, 8], lengthMm: [3, 25] } as const

const withFixture = (plan: Plan, fixture: Partial<PlannedFixture>): Plan => ({
  ...plan,
  fixture: { ...plan.fixture, ...fixture },
})

export const fixtureLengthMm = (plan: Plan): number => fixtureProfile(plan.fixture.shape).lengthMm

export const apexOf = (plan: Plan): [number, number, number] =>
  along(plan.fixture.platform, normalize(plan.fixture.apical), fixtureLengthMm(plan))

/** The plan with its fixture shifted by a vector in LPS mm. */
export const moveFixture = (plan: Plan, deltaMm: Vec3): Plan =>
  withFixture(plan, { platform: along(plan.fixture.platform, deltaMm, 1) })

/** The plan with its fixture shifted along facial, mesial and apical of the site, mm. */
export const nudgeFixture = (plan: Plan, facialMesialApicalMm: Vec3): Plan =>
  moveFixture(plan, fromSite(siteFrame(plan), facialMesialApicalMm))

export function tiltOf(plan: Plan): Tilt {
  const [f, m, a] = inSite(siteFrame(plan), normalize(plan.fixture.apical))
  return { facialDeg: Math.atan2(-f, a) * degrees, mesialDeg: Math.atan2(-m, a) * degrees }
}

/** The plan with its fixture at the given tilt; the pivot stays where it is. Tilts are kept within 80 degrees. */
export function setTilt(plan: Plan, pivot: Pivot, tilt: Tilt): Plan {
  const clamp = (deg: number) => Math.max(-steepestDeg, Math.min(steepestDeg, deg)) / degrees
  const f = -Math.tan(clamp(tilt.facialDeg))
  const m = -Math.tan(clamp(tilt.mesialDeg))
  return pointFixture(plan, pivot, fromSite(siteFrame(plan), [f, m, 1]))
}

/** The plan with its fixture tilted further by the given angles. */
export function tiltFixture(plan: Plan, pivot: Pivot, facialDeg: number, mesialDeg: number): Plan {
  const now = tiltOf(plan)
  return setTilt(plan, pivot, {
    facialDeg: now.facialDeg + facialDeg,
    mesialDeg: now.mesialDeg + mesialDeg,
  })
}

/** The plan with its fixture's axis along a direction towards the apex. */
export function pointFixture(plan: Plan, pivot: Pivot, direction: Vec3): Plan {
  const apical = normalize(direction)
  const reach = fixtureLengthMm(plan) * { platform: 0, centre: 0.5, apex: 1 }[pivot]
  const fixed = along(plan.fixture.platform, normalize(plan.fixture.apical), reach)
  return withFixture(plan, { apical, platform: along(fixed, apical, -reach) })
}

/**
 * One end of the fixture drawn towards a point in LPS mm. The length is kept: dragging the apex turns about the
 * platform, dragging the platform turns about the apex.
 */
export function dragEnd(plan: Plan, end: 'platform' | 'apex', to: Vec3): Plan {
  if (end === 'apex') return pointFixture(plan, 'platform', subtract(to, plan.fixture.platform))
  return pointFixture(plan, 'apex', subtract(apexOf(plan), to))
}

/** Platform centre, counted from the crown's cervical centre along facial, mesial and apical of the site, mm. */
export function platformOffsetMm(plan: Plan): [number, number, number] {
  const site = siteFrame(plan)
  return inSite(site, subtract(plan.fixture.platform, site.origin))
}

export function setPlatformOffset(plan: Plan, facialMesialApicalMm: Vec3): Plan {
  const site = siteFrame(plan)
  return withFixture(plan, { platform: along(site.origin, fromSite(site, facialMesialApicalMm), 1) })
}

/** Platform depth below the crown's cervical plane, along the site's vertical, mm. */
export const setDepth = (plan: Plan, depthMm: number): Plan => {
  const [f, m] = platformOffsetMm(plan)
  return setPlatformOffset(plan, [f, m, depthMm])
}

export function setDiameter(plan: Plan, diameterMm: number): Plan {
  const wanted = limitSize(diameterMm, 'diameterMm')
  const ratio = wanted / diameterOf(plan.fixture.shape)
  const { shape } = plan.fixture
  if (shape.kind === 'cylinder') return withFixture(plan, { shape: { ...shape, diameterMm: wanted } })
  if (shape.kind === 'tapered') {
    const apexDiameterMm = shape.apexDiameterMm * ratio
    return withFixture(plan, { shape: { ...shape, diameterMm: wanted, apexDiameterMm } })
  }
  const points = shape.points.map(([d, r]) => [d, r * ratio] as const)
  return withFixture(plan, { shape: { ...shape, points } })
}

/** The plan with a longer or shorter fixture; the platform stays. */
export function setLength(plan: Plan, lengthMm: number): Plan {
  const wanted = limitSize(lengthMm, 'lengthMm')
  const { shape } = plan.fixture
  if (shape.kind !== 'profile') return withFixture(plan, { shape: { ...shape, lengthMm: wanted } })
  const ratio = wanted / fixtureProfile(shape).lengthMm
  const points = shape.points.map(([d, r]) => [d * ratio, r] as const)
  return withFixture(plan, { shape: { ...shape, points } })
}

/** Platform diameter; for a free profile the greatest one. */
export const diameterOf = (shape: FixtureShape): number =>
  shape.kind === 'profile' ? 2 * fixtureProfile(shape).greatestRadiusMm : shape.diameterMm

function limitSize(mm: number, size: keyof typeof sizes): number {
  const [low, high] = sizes[size]
  if (!Number.isFinite(mm)) throw new RangeError(`${size} must be a number, got ${mm}`)
  return Math.max(low, Math.min(high, mm))
}

/** The plan with its crown shifted by a vector in LPS mm. */
export function moveCrown(plan: Plan, deltaMm: Vec3): Plan {
  const shift = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, ...deltaMm, 1]
  return withCrownPose(plan, shift)
}

/**
 * The plan with its crown turned about its cervical centre: the incisal edge goes facially by `facialDeg` and
 * mesially by `mesialDeg`.
 */
export function tiltCrown(plan: Plan, facialDeg: number, mesialDeg: number): Plan {
  const site = siteFrame(plan)
  const turned = withCrownPose(plan, rotationAbout(site.origin, site.mesial, facialDeg * handed(site)))
  return withCrownPose(turned, rotationAbout(site.origin, site.facial, -mesialDeg * handed(site)))
}

/** The plan with its crown turned about its long axis: positive turns its facial face mesially. */
export function turnCrown(plan: Plan, deg: number): Plan {
  const site = siteFrame(plan)
  return withCrownPose(plan, rotationAbout(site.origin, site.apical, deg * mesialSign(plan.site.tooth)))
}

/** +1 where facial, mesial, apical are right-handed: then turning about +mesial takes coronal (-apical) facially backwards. */
const handed = (site: ReturnType<typeof siteFrame>): number => {
  const [f, m, a] = [site.facial, site.mesial, site.apical]
  const x = m[1] * a[2] - m[2] * a[1]
  const y = m[2] * a[0] - m[0] * a[2]
  const z = m[0] * a[1] - m[1] * a[0]
  return f[0] * x + f[1] * y + f[2] * z > 0 ? -1 : 1
}

const withCrownPose = (plan: Plan, change: readonly number[]): Plan => ({
  ...plan,
  crown: { ...plan.crown, pose: toRows(multiply(change, fromRows(plan.crown.pose))) },
})

/** The plan with another calibration of grey values, or without one. */
export function withCalibration({ calibration: _, ...plain }: Plan, calibration: Plan['calibration']): Plan {
  return calibration === undefined ? plain : { ...plain, calibration }
}
