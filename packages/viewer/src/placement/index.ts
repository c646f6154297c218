export { AlvPlacement } from './alv-placement.js'
