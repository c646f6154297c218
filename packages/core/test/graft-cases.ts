import type { DeficitGraft } from '../src/graft/index.js'
import { fixtureFrame } from '../src/index.js'

export const site = { facial: [1, 0, 0], coronal: [0, 0, -1] } as const
export const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, site.facial)

/** Bone to the same thickness on all sides, from the platform on; nothing resorbs. */
export const deficit = (mm: number, more: Partial<DeficitGraft> = {}): DeficitGraft => ({
  kind: 'deficit',
  facialMm: mm,
  otherMm: mm,
  fromDepthMm: 0,
  natural: false,
  loss: { kind: 'share', share: 0 },
  overbuilt: false,
  ...more,
})

/** The part of a circle beyond a line at a distance from its centre; negative: the line lies behind the centre. */
export const segmentMm2 = (radiusMm: number, lineMm: number): number => {
  if (lineMm >= radiusMm) return 0
  if (lineMm <= -radiusMm) return Math.PI * radiusMm ** 2
  return radiusMm ** 2 * Math.acos(lineMm / radiusMm) - lineMm * Math.sqrt(radiusMm ** 2 - lineMm ** 2)
}
