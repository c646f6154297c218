export type { Explain } from './alv-load-report.js'
export { AlvLoadReport } from './alv-load-report.js'
export type { DroppedFile } from './dropped.js'
export { droppedFiles } from './dropped.js'
