export { AlvMarginMap } from './alv-margin-map.js'
