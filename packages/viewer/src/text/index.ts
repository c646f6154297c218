export {
  count,
  deg,
  grey,
  megabytes,
  mm,
  mm2,
  mmTolerance,
  percent,
  plain,
  tolerance,
  voxelSize,
} from './format.js'
export {
  exitWords,
  flagWords,
  modeWords,
  productName,
  productVersion,
  rayWords,
  standing,
  teeth,
} from './words.js'
