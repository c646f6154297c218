export type { StackGeometry } from './stack.js'
export { stackGeometry } from './stack.js'
