export { AlvChairside } from './alv-chairside.js'
export { downloadPlan, parsePlan } from './plan-file.js'
export type { WorkState } from './workbench.js'
export { Workbench } from './workbench.js'
