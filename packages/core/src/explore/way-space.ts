import type { LimitValues } from '../assess/index.js'
import { fixtureLine, tiltsOf } from '../crown/access-exit.js'
import { plusYSide } from '../crown/index.js'
import { normalize, transformDirection, transformPoint, type Vec3 } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import type { FixturePose } from './pose.js'

/** Least and greatest. */
export type Range = readonly [least: number, greatest: number]

/** Where a fixture is looked for. */
export interface WayBox {
  /** The platform facially and mesially of the point under the crown's cervical centre, mm. */
  readonly facialMm: Range
  readonly mesialMm: Range
  /** The platform below the planned margin, mm. */
  readonly depthMm: Range
  /** See ExitAtPose. */
  readonly tiltFacialDeg: Range
  readonly tiltMesialDeg: Range
}

/** So many degrees are held for as much as a millimetre: what 12 mm of fixture and crown sway by. Own choice. */
export const DEG_A_MM = 5

/**
 * A place of the box, all five in mm: facial, mesial, depth, facial and mesial tilt (DEG_A_MM degrees for a millimetre).
 */
export type Place = readonly number[]

export const PLACE_SIZE = 5

/** How far two places lie apart, mm. */
export const apartMm = (a: Place, b: Place): number => Math.hypot(...a.map((v, n) => v - b[n]))

/**
 * Own choice: facially wider than any ridge, and tilts beyond which no part brings the channel back. Mesially and distally
 * no farther than a fixture is set between two roots: to the scan they are bone, so that nothing else holds it off them.
 */
const USUAL = {
  facialMm: [-4, 4],
  mesialMm: [-1, 1],
  tiltFacialDeg: [-35, 35],
  tiltMesialDeg: [-5, 5],
} as const

/**
 * The box that is searched; depths as the limits want them unless given.
 * @throws RangeError naming the range that is none, or a tilt of 90 degrees or more.
 */
export function wayBox(limits: LimitValues, given: Partial<WayBox> = {}): WayBox {
  const depthMm: Range = [limits('platformDepthLeastMm').value, limits('platformDepthGreatestMm').value]
  const box: WayBox = { ...USUAL, depthMm, ...given }
  for (const [name, [from, to]] of Object.entries(box) as [string, Range][]) {
    if (!(Number.isFinite(from) && Number.isFinite(to) && from <= to))
      throw new RangeError(`ways out: box.${name} must be least and greatest, got ${from} and ${to}`)
    if (name.endsWith('Deg') && !(from > -90 && to < 90))
      throw new RangeError(`ways out: box.${name} must lie between -90 and 90, got ${from} and ${to}`)
  }
  return box
}

/** The box in numbers that a search can step through. */
export interface WaySpace {
  readonly low: Place
  readonly high: Place
  poseAt(place: Place): FixturePose
  /** The place of a pose, or the nearest one in the box. */
  placeOf(pose: FixturePose): Place
}

/** @throws RangeError when the crown is of another tooth than the site or its pose is not rigid. */
export function waySpace(
  { plan, crown: placed }: Pick<ExploredSite, 'plan' | 'crown'>,
  box: WayBox,
): WaySpace {
  const { crown, pose } = placed
  const mesial = plusYSide(crown.tooth) === 'mesial' ? 1 : -1
  const marginZ = crown.landmarks.zenith[2]
  const ranges = [box.facialMm, box.mesialMm, box.depthMm, box.tiltFacialDeg, box.tiltMesialDeg]
  const scales = [1, 1, 1, DEG_A_MM, DEG_A_MM]
  const low = ranges.map(([from], n) => from / scales[n])
  const high = ranges.map(([, to], n) => to / scales[n])
  return {
    low,
    high,
    poseAt: ([facial, sideways, depth, tiltFacial, tiltMesial]) => {
      const platform: Vec3 = [facial, mesial * sideways, marginZ + depth]
      const apical: Vec3 = [-tangent(tiltFacial), -mesial * tangent(tiltMesial), 1]
      return {
        platform: transformPoint(pose, platform),
        apical: normalize(transformDirection(pose, apical)),
      }
    },
    placeOf: (fixture) => {
      const { platform, coronal } = fixtureLine({ crown, pose, fixture, site: plan.site })
      const { tiltFacialDeg, tiltMesialDeg } = tiltsOf(coronal, mesial)
      const [x, y, z] = platform
      return [x, mesial * y, z - marginZ, tiltFacialDeg / DEG_A_MM, tiltMesialDeg / DEG_A_MM].map((at, n) =>
        Math.min(high[n], Math.max(low[n], at)),
      )
    },
  }
}

const tangent = (tilt: number): number => Math.tan((tilt * DEG_A_MM * Math.PI) / 180)
