export type { Dicomdir, ReferencedFile } from './dicomdir.js'
export { missingFiles } from './missing.js'
export { readDicomdir } from './read.js'
