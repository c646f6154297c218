/** Reading scans in Node: from disk, and with a decoder for compressed files. The rest is in the package root. */
export { inputsFromPath, nodeDecoder, nodeVolumeFileReader } from './node/index.js'
