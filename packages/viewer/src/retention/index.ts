export { AlvRetention } from './alv-retention.js'
