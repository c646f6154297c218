import { type EmergenceProfile, isPosterior, oralSide, type WallSide } from '../crown/index.js'

/** Numbers are held against limits as they are printed: half a unit of the last digit, mm and degrees. */
const HALF_DIGIT_MM = 0.005
const HALF_DIGIT_DEG = 0.05

/** Whether a length meets a least one. */
export const atLeastMm = (value: number, least: number): boolean => value >= least - HALF_DIGIT_MM

/** Whether a length meets a greatest one. */
export const atMostMm = (value: number, greatest: number): boolean => value <= greatest + HALF_DIGIT_MM

/** Whether an angle meets a greatest one. */
export const atMostDeg = (value: number, greatest: number): boolean => value <= greatest + HALF_DIGIT_DEG

/** Whether two angles are printed as one, or nearly. */
export const sameDeg = (a: number, b: number): boolean => Math.abs(a - b) < HALF_DIGIT_DEG

/** "2.31 mm", without a sign. */
export const mm = (value: number): string => `${Math.abs(value).toFixed(2)} mm`

/** "16.8 deg" */
export const deg = (value: number): string => `${value.toFixed(1)} deg`

/** "facial" or what the other side is called on this tooth. */
export const facialOrOral = (offsetMm: number, tooth: string): string =>
  offsetMm >= 0 ? 'facial' : oralSide(tooth)

/** The line that exits are told from. */
export const edgeWords = (tooth: string): string => (isPosterior(tooth) ? 'central groove' : 'incisal edge')

/** A face of the crown in words. */
export function faceWords(side: WallSide, tooth: string): string {
  if (side === 'edge') return isPosterior(tooth) ? 'on the occlusal table' : 'at the incisal edge'
  return `on the ${side === 'oral' ? oralSide(tooth) : side} face`
}

/** A direction round the platform in words: "mesiopalatal". */
export const sideWords = (side: EmergenceProfile['side'], tooth: string): string =>
  side.replace(/-?oral/, oralSide(tooth))

/** "1.50 mm below the planned margin" */
export const depthWords = (depthMm: number, what: string): string =>
  `${mm(depthMm)} ${depthMm >= 0 ? 'below' : 'above'} ${what}`
