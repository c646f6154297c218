export { AlvMissCloud } from './alv-miss-cloud.js'
export type { CloudReach } from './cloud-marks.js'
export { cloudMarksStyle, missAxes, missDots } from './cloud-marks.js'
