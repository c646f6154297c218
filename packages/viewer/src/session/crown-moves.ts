import {
  add,
  along,
  type CrownMarks,
  type CrownSize,
  cross,
  dot,
  fromFrame,
  fromRows,
  invert,
  multiply,
  normalize,
  type Plan,
  type PlannedTabulatedCrown,
  perpendicularTo,
  plausibleSize,
  subtract,
  toRows,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import type { Tilt } from './moves.js'
import { fromSite, inSite, mesialSign, siteDirections, siteFrame } from './site-frame.js'

const degrees = 180 / Math.PI
/** A crown that lies flatter is none. */
const steepestDeg = 80

/**
 * How a planned crown stands at its site. Tilts are those of its long axis against the site's vertical, positive where
 * the coronal end leans facially or mesially; the rotation is about the long axis, from the site's facial direction,
 * positive where the facial face turns mesially.
 */
export interface CrownStand extends Tilt {
  readonly rotationDeg: number
}

/** False for a mesh crown whose frame was not found: it has no long axis to tilt. */
export const hasCrownAxis = ({ crown }: Plan): boolean =>
  crown.kind === 'tabulated' || crown.frame !== undefined

export function crownStandOf(plan: Plan): CrownStand {
  const { facial, apical } = siteFrame(plan)
  const [f, m, a] = inSite(siteDirections(plan.site), apical)
  const straight = perpendicularTo(plan.site.facial, apical)
  const turned = Math.atan2(dot(cross(straight, facial), apical), dot(straight, facial)) * degrees
  return {
    facialDeg: Math.atan2(-f, a) * degrees,
    mesialDeg: Math.atan2(-m, a) * degrees,
    rotationDeg: turned * mesialSign(plan.site.tooth),
  }
}

/** The plan with its crown tilted and turned as told; its cervical centre stays. Tilts are kept within 80 degrees. */
export function setCrownStand(plan: Plan, stand: Partial<CrownStand>): Plan {
  if (!hasCrownAxis(plan)) return plan
  const { facialDeg, mesialDeg, rotationDeg } = { ...crownStandOf(plan), ...stand }
  const slope = (deg: number) =>
    -Math.tan(Math.max(-steepestDeg, Math.min(steepestDeg, finite(deg))) / degrees)
  const apical = normalize(fromSite(siteDirections(plan.site), [slope(facialDeg), slope(mesialDeg), 1]))
  const straight = perpendicularTo(plan.site.facial, apical)
  const turn = (finite(rotationDeg) / degrees) * mesialSign(plan.site.tooth)
  const facial = add(
    along([0, 0, 0], straight, Math.cos(turn)),
    along([0, 0, 0], cross(apical, straight), Math.sin(turn)),
  )
  const { origin, ...now } = siteFrame(plan)
  const toNow = fromFrame(now.facial, cross(now.apical, now.facial), now.apical, origin)
  const toNext = fromFrame(facial, cross(apical, facial), apical, origin)
  return withCrown(plan, toRows(multiply(multiply(toNext, invert(toNow)), fromRows(plan.crown.pose))))
}

export const setCrownTilt = (plan: Plan, tilt: Partial<Tilt>): Plan => setCrownStand(plan, tilt)

export const setCrownRotation = (plan: Plan, rotationDeg: number): Plan =>
  setCrownStand(plan, { rotationDeg })

/** The crown's cervical centre, counted from the platform's centre along facial, mesial and coronal of the site, mm. */
export function crownOffsetMm(plan: Plan): [number, number, number] {
  const [f, m, a] = inSite(siteDirections(plan.site), subtract(siteFrame(plan).origin, plan.fixture.platform))
  return [f, m, -a]
}

/** The plan with its crown moved so that it stands there. */
export function setCrownOffset(plan: Plan, facialMesialCoronalMm: Vec3): Plan {
  const [f, m, c] = subtract(facialMesialCoronalMm.map(finite) as unknown as Vec3, crownOffsetMm(plan))
  return shifted(plan, fromSite(siteDirections(plan.site), [f, m, -c]))
}

/** The plan with its tabulated crown at other sizes, kept within what is plausible for its tooth; null: those of the table. */
export function setCrownSize(plan: Plan, change: CrownSize | null): Plan {
  const { crown } = plan
  if (crown.kind !== 'tabulated') return plan
  const { size: before, ...rest } = crown
  if (change === null) return { ...plan, crown: rest }
  const within = (mm: number, field: keyof CrownSize): number => {
    const { leastMm, greatestMm } = plausibleSize(crown.tooth, field)
    return Math.max(leastMm, Math.min(greatestMm, finite(mm)))
  }
  const { lengthMm, widthMdMm, widthLlMm } = { ...before, ...change }
  const size: CrownSize = {
    ...(lengthMm === undefined ? {} : { lengthMm: within(lengthMm, 'lengthMm') }),
    ...(widthMdMm === undefined ? {} : { widthMdMm: within(widthMdMm, 'widthMdMm') }),
    ...(widthLlMm === undefined ? {} : { widthLlMm: within(widthLlMm, 'widthLlMm') }),
  }
  return { ...plan, crown: { ...rest, size } }
}

/** A crown of the table where the planned crown stands; null where that does not say how it lies. */
export function tabulatedThere({ crown, site }: Plan): PlannedTabulatedCrown | null {
  if (crown.kind === 'tabulated') return crown
  if (crown.frame === undefined) return null
  const pose = toRows(multiply(fromRows(crown.pose), fromRows(crown.frame)))
  return { kind: 'tabulated', tooth: site.tooth, pose }
}

/** The plan with a place of its mesh crown set by hand, LPS mm; null takes the mark away. */
export function markCrown(plan: Plan, mark: keyof CrownMarks, at: Vec3 | null): Plan {
  const { crown } = plan
  if (crown.kind !== 'mesh') return plan
  const { [mark]: _, ...others } = crown.marks ?? {}
  const own = at === null ? null : transformPoint(invert(fromRows(crown.pose)), at)
  return { ...plan, crown: { ...crown, marks: own === null ? others : { ...others, [mark]: own } } }
}

const shifted = (plan: Plan, by: Vec3): Plan =>
  withCrown(
    plan,
    plan.crown.pose.map((v, n) => (n % 4 === 3 && n < 12 ? v + (by[(n - 3) / 4] ?? 0) : v)),
  )

const withCrown = (plan: Plan, pose: readonly number[]): Plan => ({ ...plan, crown: { ...plan.crown, pose } })

function finite(value: number): number {
  if (!Number.isFinite(value)) throw new RangeError(`a crown's place and size must be numbers, got ${value}`)
  return value
}
