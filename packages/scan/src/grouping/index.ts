export { dropDuplicates } from './duplicates.js'
export { findInterleaved } from './interleaved.js'
export type { SeriesGroup } from './series.js'
export { checkPatients, groupSeries } from './series.js'
