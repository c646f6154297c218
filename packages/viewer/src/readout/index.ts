export { AlvDensity } from './alv-density.js'
export { AlvExit } from './alv-exit.js'
export { AlvFindings } from './alv-findings.js'
export { AlvMargin } from './alv-margin.js'
