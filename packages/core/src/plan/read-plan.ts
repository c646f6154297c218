import { fixtureProfile } from '../fixture/index.js'
import { angleDeg } from '../space/index.js'
import { checkCalibration } from './check-calibration.js'
import { checkCrown } from './check-crown.js'
import { checkGraft } from './check-graft.js'
import { checkScan } from './check-scan.js'
import { checkSite } from './check-site.js'
import { direction, finite, type Json, positive, record, shown, vector } from './fields.js'
import type { Plan } from './plan.js'
import { PlanError } from './plan-error.js'

/**
 * A plan from JSON text. Strict: the first thing that is wrong is named by its place in the document.
 * Fields unknown to this version are kept.
 * @throws PlanError
 */
export function readPlan(text: string): Plan {
  let document: unknown
  try {
    document = JSON.parse(text)
  } catch (cause) {
    throw new PlanError(
      '',
      `is not JSON (${cause instanceof Error ? cause.message : String(cause)}): save it again from the page`,
    )
  }
  return checkPlan(document)
}

/** The same for a document that is already parsed. Returned as it is, not copied. */
export function checkPlan(document: unknown): Plan {
  const plan = record(document, '')
  if (plan.schema !== 'alveometer-plan')
    throw new PlanError('schema', `must be "alveometer-plan", got ${shown(plan.schema)}`)
  if (plan.version !== 1)
    throw new PlanError(
      'version',
      `must be 1, got ${shown(plan.version)}: open it with the version that wrote it`,
    )
  checkScan(record(plan.scan, 'scan'))
  checkSite(record(plan.site, 'site'))
  checkCrown(record(plan.crown, 'crown'), plan.site as Plan['site'])
  checkFixture(record(plan.fixture, 'fixture'), plan.site as Plan['site'])
  if (!Array.isArray(plan.structures))
    throw new PlanError('structures', `must be a list, got ${shown(plan.structures)}`)
  for (const [name, value] of Object.entries(record(plan.limits, 'limits'))) finite(value, `limits.${name}`)
  if (plan.graft !== undefined) checkGraft(record(plan.graft, 'graft'))
  if (plan.calibration !== undefined) checkCalibration(record(plan.calibration, 'calibration'))
  return document as Plan
}

/** The document as JSON text, two spaces deep, unknown fields included. */
export const writePlan = (plan: Plan): string => `${JSON.stringify(plan, null, 2)}\n`

function checkFixture(fixture: Json, site: Plan['site']): void {
  const shape = record(fixture.shape, 'fixture.shape')
  if (shape.kind === 'cylinder' || shape.kind === 'tapered') {
    positive(shape.diameterMm, 'fixture.shape.diameterMm')
    if (shape.kind === 'tapered') positive(shape.apexDiameterMm, 'fixture.shape.apexDiameterMm')
    positive(shape.lengthMm, 'fixture.shape.lengthMm')
  } else if (shape.kind === 'profile') {
    if (!Array.isArray(shape.points))
      throw new PlanError('fixture.shape.points', `must be a list, got ${shown(shape.points)}`)
    shape.points.forEach((point: unknown, n: number) => {
      if (!Array.isArray(point) || point.length !== 2)
        throw new PlanError(`fixture.shape.points[${n}]`, `must be [depthMm, radiusMm], got ${shown(point)}`)
    })
    try {
      fixtureProfile(shape as unknown as Plan['fixture']['shape'])
    } catch (cause) {
      throw new PlanError(
        'fixture.shape.points',
        `cannot be used: ${cause instanceof Error ? cause.message : cause}`,
      )
    }
  } else
    throw new PlanError(
      'fixture.shape.kind',
      `must be "cylinder", "tapered" or "profile", got ${shown(shape.kind)}`,
    )
  vector(fixture.platform, 'fixture.platform')
  const apical = direction(fixture.apical, 'fixture.apical')
  const angle = angleDeg(apical, site.facial)
  if (angle < 1 || angle > 179)
    throw new PlanError('fixture.apical', 'points along site.facial: no facial side can be told')
}
