export { volumeBudgetBytes } from './budget.js'
export type { Frame, TaskOptions } from './engine.js'
export { Engine, EngineError } from './engine.js'
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
