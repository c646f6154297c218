export { AlvCollar } from './alv-collar.js'
