export type { GreyPick } from './alv-grey-calibration.js'
export { AlvGreyCalibration } from './alv-grey-calibration.js'
