export type { PlannedFixture } from '../fixture/index.js'
export type { Plan, PlannedCrown, PlannedScan, Site } from './plan.js'
