export { volumeBudgetBytes } from './budget.js'
export type { Frame } from './engine.js'
export { Engine } from './engine.js'
export { EngineError } from './engine-error.js'
export type {
  Across,
  EngineFault,
  EngineReply,
  EngineRequest,
  FrameImages,
  FrameRequest,
  FrameResult,
  OpenRequest,
  OpenResult,
  PickContents,
  PreviewFacts,
  ProbeRequest,
  ProbeResult,
  Progress,
  ReportLine,
  ScanFacts,
  ScanSource,
} from './protocol.js'
export type { PartsOptions, TaskOptions } from './requests.js'
