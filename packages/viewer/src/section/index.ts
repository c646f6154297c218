export { AlvSection } from './alv-section.js'
