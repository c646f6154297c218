export type { Plan, PlannedCrown, PlannedScan, Site } from './plan.js'
