export type { Frame, TaskOptions } from './engine.js'
export { Engine, EngineError } from './engine.js'
export type {
  EngineFault,
  EngineReply,
  EngineRequest,
  FrameImages,
  FrameRequest,
  FrameResult,
  OpenResult,
  Progress,
  ReportLine,
  ScanFacts,
  ScanSource,
  SeriesChoice,
} from './protocol.js'
