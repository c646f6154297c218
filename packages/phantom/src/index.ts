export type {
  Dataset,
  ElementValue,
  Encapsulated,
  Encoding,
  FileOptions,
  Keyword,
  NamedBytes,
  RawElement,
  SeriesNames,
  SeriesOptions,
  Storage,
  TransferSyntax,
} from './dicom/index.js'
export {
  ctSlice,
  decimalString,
  dictionary,
  encodeDataset,
  encodeRle,
  signedStorage,
  storedPixels,
  transferSyntax,
  uidFrom,
  writeDicom,
  writeSeries,
  zipSeries,
} from './dicom/index.js'
export type {
  Ball,
  CylinderShell,
  Extrusion,
  Field,
  Grid,
  Outline,
  PlateStack,
  RenderOptions,
} from './generators/index.js'
export {
  ball,
  blurredBall,
  blurredDisc,
  blurredOutline,
  cubicGrid,
  cylinderShell,
  ellipse,
  erf,
  extrude,
  normalCdf,
  normalPdf,
  plateStack,
  renderField,
  tabulate,
  wedge,
} from './generators/index.js'
export type { Random } from './random/index.js'
export { correlatedNoise, createRandom, gaussianBlur, gaussianKernel, whiteNoise } from './random/index.js'
export { chiralMarks, chiralPhantom, chiralStorage } from './scene/index.js'
