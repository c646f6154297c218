import { plusYSide } from '../crown/index.js'

/** A length with the half width of its interval: "0.62 ± 0.12 mm". */
export const millimetres = (value: number, uncertaintyMm: number): string =>
  `${value.toFixed(2).replace('-', '\u2212')} \u00b1 ${uncertaintyMm.toFixed(2)} mm`

/** "94 %"; what is not all of it is not rounded up to all of it. */
export const percent = (share: number): string => {
  const rounded = Math.round(100 * share)
  if (rounded === 100 && share < 1) return 'over 99 %'
  return rounded === 0 && share > 0 ? 'under 1 %' : `${rounded} %`
}

/** "10 deg mesial of facial" */
export function direction(angleDeg: number, tooth: string): string {
  const deg = Math.round(angleDeg > 180 ? 360 - angleDeg : angleDeg)
  if (deg === 0) return 'facial'
  const plusY = plusYSide(tooth)
  const side = angleDeg <= 180 === (plusY === 'mesial') ? 'mesial' : 'distal'
  return deg === 180 ? 'opposite facial' : `${deg} deg ${side} of facial`
}
