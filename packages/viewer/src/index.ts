export type { WorkState } from './chairside/index.js'
export { AlvChairside, Workbench } from './chairside/index.js'
export { AlvCollar } from './collar/index.js'
export type { CrownChoice, CrownFormPart, CrownUse } from './crown-form/index.js'
export { AlvCrownForm, AlvCrownImport } from './crown-form/index.js'
export type { CrownSide } from './crown-view/index.js'
export { AlvCrownView } from './crown-view/index.js'
export { AlvDecision } from './decision/index.js'
export { defineElements } from './define.js'
export type { GreyImage, GreyWindow } from './drawing/index.js'
export { orientationLetters } from './drawing/index.js'
export type {
  OpenRequest,
  OpenResult,
  PickContents,
  PreviewFacts,
  Progress,
  ScanFacts,
  ScanSource,
} from './engine/index.js'
export { Engine, EngineError, volumeBudgetBytes } from './engine/index.js'
export type {
  AlvEvents,
  ChartMove,
  DrawnPlace,
  MovePhase,
  NeighbourPlace,
  PlanMove,
  ViewChange,
} from './events.js'
export type { PictureSource } from './geometry-check/index.js'
export { AlvGeometryCheck } from './geometry-check/index.js'
export { AlvGraftForm } from './graft-form/index.js'
export type { GreyPick } from './grey-calibration/index.js'
export { AlvGreyCalibration } from './grey-calibration/index.js'
export type { DroppedFile, Explain } from './load-report/index.js'
export { AlvLoadReport, droppedFiles } from './load-report/index.js'
export { AlvMarginMap } from './margin-map/index.js'
export { AlvMissCloud } from './miss-cloud/index.js'
export { AlvPlacement } from './placement/index.js'
export type { EmergenceLimits } from './readout/index.js'
export { AlvDensity, AlvEmergence, AlvExit, AlvFindings, AlvGraft, AlvMargin } from './readout/index.js'
export { AlvRetention } from './retention/index.js'
export { AlvSection } from './section/index.js'
export { AlvSeriesChooser } from './series-chooser/index.js'
export type { Pivot, PlanChangeEvent, Tilt } from './session/index.js'
export { defaultPlan, moveFixture, PlanSession, tiltFixture } from './session/index.js'
export { AlvSizeOffer } from './size-offer/index.js'
export type { ChartView } from './tilt-chart/index.js'
export { AlvTiltChart } from './tilt-chart/index.js'
export { AlvTitleBlock } from './title-block/index.js'
export { AlvWaysOut } from './ways-out/index.js'
