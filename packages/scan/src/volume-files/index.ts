export type { BrowserReaderOptions } from './browser-reader.js'
export { browserVolumeFileReader } from './browser-reader.js'
export type { ComponentType } from './component.js'
export type { VolumeFileData } from './decode.js'
export { decodeVolumeFile } from './decode.js'
export type {
  Directions,
  GreyScale,
  MissingGeometry,
  VolumeFileHeader,
  VolumeFileKind,
} from './header.js'
export { volumeFileKind } from './kind.js'
export type { ConfirmedAxes, PlacedVolume } from './place.js'
export { placeVolumeFile } from './place.js'
export { readVolumeHeader } from './read-header.js'
export type { CleanFile, ReaderImage, VolumeFileReader } from './reader.js'
export { PIPELINES } from './reader.js'
