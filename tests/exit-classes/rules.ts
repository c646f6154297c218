import { accessExit, type Crown, edgeAt, fromFrame, type Site, type Vec3 } from '@alveometer/core'
import type { Anatomy } from './anatomy.js'

/** How the fixture is planned. */
export type Rule = 'tooth' | 'process' | 'palatal'
export const RULES: readonly Rule[] = ['tooth', 'process', 'palatal']

/** A fixture in the sagittal plane of the crown frame, mm. */
export interface PlannedAxis {
  readonly platform: Vec3
  readonly apical: Vec3
  /** Whether the axis could be aimed as wanted; null where the rule aims at nothing. */
  readonly aimed: boolean | null
}

/** Fixture of the palatal rule, mm: usual generic sizes (own choice), narrow at laterals. */
const DIAMETER_MM: Readonly<Record<string, number>> = { '11': 4, '12': 3.3, '13': 4 }
/** The apex is narrower than the neck; 60 to 80 %: general, from memory. */
const APEX_SHARE = 0.7
const GREATEST_LENGTH_MM = 14
/** Native bone that holds the fixture beyond the root's apex, mm: Botermans 2021, J Clin Med 10:5853. */
const ANCHOR_MM = 4
/** Bone wanted facial of the fixture's apex, mm: common 1 mm rule. */
const FACIAL_BONE_MM = 1
/** Gap between fixture and facial socket wall, mm: common practice, from memory. */
const FACIAL_GAP_MM = 2
/** Where the exit is wanted, palatal of the edge, mm: Gonzalez-Martin and Veltri 2021. */
const WANTED_PALATAL_MM = 1.5

/**
 * Plans a fixture by one of three rules.
 * - `tooth`: on the root's axis.
 * - `process`: on the middle line of the alveolar process, which passes the root half way between the facial and the
 *   palatal bone at mid-root.
 * - `palatal`: 2 mm behind the facial socket wall, aimed at an exit 1.5 mm palatal of the edge; leant facially as far as
 *   the facial bone at the fixture's apex asks for, no further.
 */
export function planFixture(rule: Rule, crown: Crown, anatomy: Anatomy): PlannedAxis {
  const { platformDepthMm, rootLengthMm } = anatomy
  const depth = crown.landmarks.zenith[2] + platformDepthMm
  const edge = edgeAt(crown, 0)
  const rootTilt = Math.atan2(edge[0], -edge[2]) + radians(anatomy.collumDeg)
  const rootX = (z: number): number => -z * Math.tan(rootTilt)
  if (rule === 'tooth') return axis([rootX(depth), 0, depth], rootTilt)
  if (rule === 'process') {
    const tilt = rootTilt + radians(anatomy.processDeg)
    const middle = rootX(rootLengthMm / 2) - (anatomy.palatalMidMm - anatomy.facialMidMm) / 2
    return axis([middle + (rootLengthMm / 2 - depth) * Math.tan(tilt), 0, depth], tilt)
  }
  const radius = (DIAMETER_MM[crown.tooth] ?? 4) / 2
  const half = (z: number): number => anatomy.rootHalfMm * (1 - z / rootLengthMm)
  const platform: Vec3 = [rootX(depth) + half(depth) - FACIAL_GAP_MM - radius, 0, depth]
  const lengthMm = Math.min(GREATEST_LENGTH_MM, rootLengthMm + ANCHOR_MM - depth)
  const end = depth + lengthMm
  // The facial bone's surface, straight through its places at mid-root and at the root's apex.
  const facialMid = half(rootLengthMm / 2) + anatomy.facialMidMm
  const facialEnd =
    rootX(end) +
    facialMid +
    ((anatomy.facialApexMm - facialMid) * (end - rootLengthMm / 2)) / (rootLengthMm / 2)
  const furthest = facialEnd - FACIAL_BONE_MM - APEX_SHARE * radius
  const wanted = wantedExit(crown)
  const aim = Math.atan2(wanted[0] - platform[0], depth - wanted[2])
  const allowed = Math.atan2(platform[0] - furthest, lengthMm)
  return axis(platform, Math.max(aim, allowed), aim >= allowed)
}

/** The same sagittal plane for every tooth: the crown stands in its own frame. */
export const UPRIGHT = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])
export const siteOf = (tooth: string): Site => ({ tooth, facial: [1, 0, 0], coronal: [0, 0, -1] })

function axis(platform: Vec3, tilt: number, aimed: boolean | null = null): PlannedAxis {
  return { platform, apical: [-Math.sin(tilt), 0, Math.cos(tilt)], aimed }
}

/** The place of the crown's surface just as far palatal of the edge as wanted. */
export function wantedExit(crown: Crown): Vec3 {
  const x = edgeAt(crown, 0)[0] - WANTED_PALATAL_MM - 1e-6
  const fixture = { platform: [x, 0, 5], apical: [0, 0, 1] } as const
  const { point } = accessExit({ crown, pose: UPRIGHT, fixture, site: siteOf(crown.tooth) })
  if (point === null) throw new RangeError(`no place of crown ${crown.tooth} lies 1.5 mm palatal of its edge`)
  return point
}

const radians = (deg: number): number => (deg * Math.PI) / 180
