export { inputsFromPath } from './path.js'
