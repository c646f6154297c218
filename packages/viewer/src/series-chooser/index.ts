export { AlvSeriesChooser } from './alv-series-chooser.js'
export { isWorthChoosing } from './contents.js'
