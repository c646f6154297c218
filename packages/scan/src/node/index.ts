export { nodeDecoder } from './decoder.js'
export { inputsFromPath } from './path.js'
