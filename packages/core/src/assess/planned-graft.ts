import { type BoneMargin, surfaceMargin } from '../bone/index.js'
import { type FixtureFrame, type FixtureProfile, radiusAtMm } from '../fixture/index.js'
import {
  type GraftField,
  type GraftSpec,
  graftedMargin,
  graftField,
  graftOutlines,
  graftSize,
  quickGraftGrid,
  wallsRemaining,
} from '../graft/index.js'
import type { Plan } from '../plan/index.js'
import { missingBone } from './default-graft.js'
import { defectClasses } from './defect-classes.js'
import { type DefectMeasures, defectMeasures } from './defect-measures.js'
import type { GraftAssessment } from './graft-assessment.js'
import type { GraftKnown } from './graft-findings.js'
import { graftTiming } from './graft-timing.js'
import type { LimitValues } from './limits.js'
import { numberRows } from './map-rows.js'
import { marginCover } from './margin-cover.js'
import type { MarginResult } from './margin-result.js'
import type { Sector } from './sectors.js'

/** A fixture whose margin was measured. */
export interface MeasuredFixture {
  readonly plan: Plan
  readonly frame: FixtureFrame
  readonly profile: FixtureProfile
  readonly sectors: readonly Sector[]
  readonly limits: LimitValues
  /** The measurement and what is told of it. */
  readonly boneMargin: BoneMargin
  readonly margin: MarginResult
}

/** What the plan's graft comes to and changes, and what one to the wanted margins would take. */
export function graftKnown(fixture: MeasuredFixture): GraftKnown {
  const { plan, profile, limits } = fixture
  const wanted = missingBone(limits)
  const needed = fieldOf({ ...fixture, boneMargin: neededMargin(fixture) }, wanted)
  const field = plan.graft === undefined ? null : fieldOf(fixture, plan.graft)
  const known = {
    planned: plan.graft !== undefined,
    wanted,
    needed: needed === null ? null : graftSize(needed, profile),
  }
  if (plan.graft === undefined || field === null) return { ...known, graft: null, verticalMm: 0 }
  const measures = measuresOf(fixture, needed, field)
  const graft: GraftAssessment = {
    ...grafted(fixture, plan.graft, field),
    walls: measures.walls,
    classes: defectClasses(measures),
    timing: graftTiming(measures),
  }
  return { ...known, graft, verticalMm: measures.verticalMm }
}

/** The rays that missing bone is reckoned on: in mode `surface` fewer, as at thousands of poses. */
function neededMargin({ boneMargin, frame, profile }: MeasuredFixture): BoneMargin {
  const surface = boneMargin.source?.surface
  return surface === undefined ? boneMargin : surfaceMargin(surface, frame, profile, quickGraftGrid(profile))
}

/** Walls stand round what is missing; where nothing is, round what is planned. */
function measuresOf(
  { plan, profile, sectors, margin }: MeasuredFixture,
  needed: GraftField | null,
  planned: GraftField,
): DefectMeasures {
  return defectMeasures(margin, needed, wallsRemaining(needed ?? planned, plan.site.tooth), sectors, {
    lengthMm: profile.lengthMm,
    radiusAtMm: (depthMm) => radiusAtMm(profile, depthMm),
  })
}

const fieldOf = ({ boneMargin, frame, profile, plan }: MeasuredFixture, spec: GraftSpec): GraftField | null =>
  graftField({ margin: boneMargin, frame, profile, spec, site: plan.site })

function grafted(
  { frame, profile, sectors, limits, boneMargin }: MeasuredFixture,
  spec: GraftSpec,
  field: GraftField,
): Omit<GraftAssessment, 'walls' | 'classes' | 'timing'> {
  const rows = (values: Float64Array) => numberRows(values, { grid: field })
  const coverWith = (which: 'outer' | 'kept') =>
    marginCover(graftedMargin(boneMargin, field, which, frame, profile), profile, sectors, limits)
  return {
    spec,
    built: graftSize(field, profile),
    kept: graftSize(field, profile, 'kept'),
    depthsMm: field.depthsMm,
    anglesDeg: field.anglesDeg,
    innerMm: rows(field.innerMm),
    outerMm: rows(field.outerMm),
    keptMm: rows(field.keptMm),
    outlines: graftOutlines(field, frame, 0),
    after: coverWith('outer'),
    afterLoss: coverWith('kept'),
    openRays: field.openRays,
    cappedMm: field.cappedMm,
  }
}
