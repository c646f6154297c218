export { nodeDecoder } from './decoder.js'
export { inputsFromPath } from './path.js'
export { nodeVolumeFileReader } from './volume-file-reader.js'
