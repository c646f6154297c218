/**
 * DICOM files, folders and zips to a volume and a load report. Headers are read and judged first; pixels are decoded
 * only for a series that may be measured.
 *
 *     const { volume, report } = await loadScan(inputsFromFiles(input.files))
 */
export type { BrowserDecoderOptions, CompressedImage, Decoder } from './decode/index.js'
export { browserDecoder } from './decode/index.js'
export type { ScanInput } from './inputs/index.js'
export { inputFromBytes, inputsFromFiles, inputsFromZip } from './inputs/index.js'
export type {
  InspectOptions,
  LoadedScan,
  LoadOptions,
  PixelOptions,
  ProgressOptions,
  ScanInspection,
  ScanProgress,
  SeriesSummary,
} from './load/index.js'
export { inspectScan, loadScan } from './load/index.js'
export type { ReportEntry, ReportLevel, ScanErrorCode } from './report/index.js'
export { isScanError, ScanError } from './report/index.js'
