import {
  cross,
  type FixtureShape,
  fromFrame,
  normalize,
  type Plan,
  type PlannedScan,
  toRows,
  transformDirection,
  transformPoint,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'
import type { Anatomy } from './anatomy.js'
import { missingCrown } from './tooth.js'

/** The three ways of standing in the missing tooth's place. */
export type PlanName = 'opening' | 'leaning' | 'upright'

/** A plan with the name it is filed under. */
export interface DemoPlan {
  readonly name: PlanName
  readonly plan: Plan
}

/** A generic tapered body. */
const shape: FixtureShape = { kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 11 }

/**
 * Platform in the crown's frame (facial and apical of the cervical centre, mm) and tilt of the axis in its facial-palatal plane:
 * positive turns the coronal end facially.
 */
const poses: Readonly<Record<PlanName, { facialMm: number; apicalMm: number; tiltDeg: number }>> = {
  leaning: { facialMm: -0.9, apicalMm: 4.3, tiltDeg: 11 },
  opening: { facialMm: -0.8, apicalMm: 4.1, tiltDeg: 4 },
  upright: { facialMm: -0.4, apicalMm: 3.9, tiltDeg: -6 },
}

/** Crown of tooth 11 in LPS mm: cervical centre, facial and apical direction. */
export function crownFrame(anatomy: Anatomy): { origin: WorldPoint; facial: Vec3; apical: Vec3 } {
  const { origin, facial, apical } = missingCrown()
  return {
    origin: transformPoint(anatomy.jawToWorld, origin),
    facial: transformDirection(anatomy.jawToWorld, facial),
    apical: transformDirection(anatomy.jawToWorld, apical),
  }
}

/** The three demo plans for a scan of the scene. */
export function demoPlans(anatomy: Anatomy, scan: PlannedScan): DemoPlan[] {
  const { origin, facial, apical } = crownFrame(anatomy)
  const pose = fromFrame(facial, cross(apical, facial), apical, origin)
  const round = (v: number) => Math.round(v * 1e6) / 1e6
  return (['opening', 'leaning', 'upright'] as const).map((name) => {
    const { facialMm, apicalMm, tiltDeg } = poses[name]
    const tilt = (tiltDeg * Math.PI) / 180
    const platform = transformPoint(pose, [facialMm, 0, apicalMm])
    const axis = normalize(transformDirection(pose, [-Math.sin(tilt), 0, Math.cos(tilt)]))
    const plan: Plan = {
      schema: 'alveometer-plan',
      version: 1,
      scan,
      site: {
        tooth: '11',
        facial: triple(facial, round),
        coronal: triple([-apical[0], -apical[1], -apical[2]], round),
      },
      crown: { kind: 'tabulated', tooth: '11', pose: toRows(pose).map(round) },
      fixture: { shape, platform: triple(platform, round), apical: triple(axis, round) },
      structures: [],
      limits: {},
    }
    return { name, plan }
  })
}

const triple = (v: Vec3, round: (x: number) => number): Vec3 => [round(v[0]), round(v[1]), round(v[2])]
