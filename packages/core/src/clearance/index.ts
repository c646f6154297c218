export type { Body, RoundBody } from './bodies.js'
export type { Clearance, Stand } from './clearance.js'
export { clearance } from './clearance.js'
