export type { FixtureShape, Plan, PlannedCrown, PlannedFixture, PlannedScan, Site } from './plan.js'
