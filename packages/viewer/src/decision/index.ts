export { AlvDecision } from './alv-decision.js'
