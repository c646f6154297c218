/** Reading scans from disk. Everything else is in the root of the package. */
export { inputsFromPath } from './node/index.js'
