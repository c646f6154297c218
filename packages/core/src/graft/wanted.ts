import type { DeficitGraft, GraftLoss } from './graft-spec.js'

/** Half the width of the facial sector; the sectors of the margins are as wide. */
const FACIAL_HALF_DEG = 45
/** Own choice: beside the facial sector the wanted thickness passes over to that of the other sides within so much. */
const BLEND_DEG = 15

/** Wanted thickness over the fixture at an angle, 0 = facial, mm. */
export function wantedMm({ facialMm, otherMm }: DeficitGraft, angleDeg: number): number {
  const away = Math.abs(((((angleDeg + 180) % 360) + 360) % 360) - 180)
  const share = Math.min(1, Math.max(0, (away - FACIAL_HALF_DEG) / BLEND_DEG))
  return facialMm + (otherMm - facialMm) * share
}

/** Of a share as good as everything no thickness would leave the wanted one. */
const GREATEST_SHARE = 0.95

/** How thick it must be built for so much to remain, mm. */
export const overbuiltMm = (loss: GraftLoss, keptMm: number): number =>
  loss.kind === 'mm' ? keptMm + loss.mm : keptMm / (1 - Math.min(GREATEST_SHARE, loss.share))

/** What remains of so much, mm; negative where more than all is lost. */
export const remainingMm = (loss: GraftLoss, builtMm: number): number =>
  loss.kind === 'mm' ? builtMm - loss.mm : builtMm * (builtMm > 0 ? 1 - loss.share : 1)
