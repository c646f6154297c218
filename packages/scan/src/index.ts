/**
 * DICOM files, folders and zips to a volume and a load report. Headers are read and judged first; pixels are decoded
 * only for a series that may be measured.
 *
 *     const { volume, report } = await loadScan(inputsFromFiles(input.files))
 */
export type { BrowserDecoderOptions, CompressedImage, Decoder } from './decode/index.js'
export { browserDecoder } from './decode/index.js'
export type { GeometryAnswers, KnownSides, OpenQuestion } from './geometry/index.js'
export type { ScanInput, StreamOptions } from './inputs/index.js'
export {
  inputFromBytes,
  inputFromStream,
  inputsFromFiles,
  inputsFromUrl,
  inputsFromZip,
} from './inputs/index.js'
export type {
  IndexBox,
  InspectOptions,
  LoadedScan,
  LoadOptions,
  MemoryEstimate,
  Person,
  PixelOptions,
  PreviewOptions,
  ProgressOptions,
  Reduction,
  ScanInspection,
  ScanPreview,
  ScanProgress,
  SeriesSummary,
  SurveyOptions,
  Thumbnail,
} from './load/index.js'
export { inspectScan, loadScan, previewScan } from './load/index.js'
export type { Facts, ReportCode, ReportEntry, ReportLevel, ScanErrorCode, SizeOffer } from './report/index.js'
export { isScanError, REPORT_CODES, ScanError } from './report/index.js'
export type { VolumeFileReader } from './volume-files/index.js'
export { browserVolumeFileReader } from './volume-files/index.js'
