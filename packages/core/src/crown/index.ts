export { accessChannel } from './access-channel.js'
export type { ExitClass, ExitLimits, ExitQuestion, ExitResult } from './access-exit.js'
export { accessExit, EXIT_LIMITS } from './access-exit.js'
export { accessProbe } from './access-probe.js'
export type { AccessProbe, ProbedExit, ProbedPlatform, ProbedWall } from './access-probe-result.js'
export { angledChannel } from './angled-channel.js'
export { archFacial, archFacialDeg } from './arch-form.js'
export type { ChannelQuestion } from './channel-question.js'
export { CHANNEL_LIMITS } from './channel-question.js'
export type {
  AccessChannel,
  AngledChannel,
  Bend,
  ChannelLimits,
  ChannelWall,
  WallAt,
  WallSide,
} from './channel-result.js'
export type { Crown, CrownLandmarks, CrownRegion } from './crown.js'
export { edgeAt } from './crown.js'
export type { CrownNorm, PublishedNorm } from './crown-norms.js'
export { crownNorm, startingCrownPose } from './crown-norms.js'
export { crownSection } from './crown-section.js'
export type { CrownSize } from './crown-size.js'
export { checkCrownSize, fullCrownSize, plausibleSize, sizeOf } from './crown-size.js'
export type { EmergenceQuestion } from './emergence.js'
export { emergence } from './emergence.js'
export type { Emergence, EmergenceProfile } from './emergence-result.js'
export type { CrownFrame, FoundFrame } from './find-frame.js'
export { CLEAR_FIT_SHARE, findCrownFrame } from './find-frame.js'
export type { GapFit, GapQuestion } from './fit-to-gap.js'
export { fitToGap } from './fit-to-gap.js'
export { crownFrameOf, crownFromMesh } from './mesh-crown.js'
export type { LandmarkMarks } from './mesh-landmarks.js'
export type { NeighbourMarks, Site } from './site.js'
export { tabulatedCrown } from './tabulated-crown.js'
export { antimereOf, checkTooth, isPosterior, isUpper, oralSide, plusYSide } from './tooth.js'
export type { ToothDimensions } from './tooth-dimensions.js'
export { toothDimensions } from './tooth-dimensions.js'
