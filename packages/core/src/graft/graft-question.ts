import type { BoneMargin } from '../bone/index.js'
import type { Site } from '../crown/index.js'
import type { FixtureFrame, FixtureProfile } from '../fixture/index.js'
import type { GraftSpec } from './graft-spec.js'

/** A graft round a fixture, and the margin that it is planned on. */
export interface GraftQuestion {
  readonly margin: BoneMargin
  /** Of the same fixture. */
  readonly frame: FixtureFrame
  readonly profile: FixtureProfile
  readonly spec: GraftSpec
  readonly site: Pick<Site, 'facial' | 'coronal'>
}
