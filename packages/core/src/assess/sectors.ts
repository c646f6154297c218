import { oralSide, plusYSide } from '../crown/index.js'

/** A quarter of the way round the fixture. */
export interface Sector {
  readonly name: string
  readonly centreDeg: number
}

/** Facial, +y side, oral, -y side, each 90 degrees wide. +y is mesial or distal depending on the quadrant. */
export function sectorsOf(tooth: string): readonly Sector[] {
  const plusY = plusYSide(tooth)
  return [
    { name: 'facial', centreDeg: 0 },
    { name: plusY, centreDeg: 90 },
    { name: oralSide(tooth), centreDeg: 180 },
    { name: plusY === 'mesial' ? 'distal' : 'mesial', centreDeg: 270 },
  ]
}

/** Whether an angle lies in a sector: from 45 degrees before its centre up to, not including, 45 after. Angles 0 to 360. */
export const inSector = (sector: Sector, angleDeg: number): boolean =>
  (angleDeg - sector.centreDeg + 405) % 360 < 90

/** Thirds of the fixture's length from platform to apex. */
export const LEVELS = ['coronal', 'middle', 'apical'] as const

export type Level = (typeof LEVELS)[number]

export const levelOf = (depthShare: number): Level =>
  LEVELS[Math.min(2, Math.max(0, Math.floor(depthShare * 3)))]
