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
export { chiralMarks, chiralPhantom, chiralStorage } from './scene/index.js'
