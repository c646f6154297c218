import type { FloodGreys } from './flood.js'

/** Share of the way from the soft level to the cortical level that already counts as bone (flood and ray march). */
export const LOW_SHARE = 0.12

export const boneThreshold = (softGrey: number, cortexGrey: number): number =>
  softGrey + LOW_SHARE * (cortexGrey - softGrey)

/** Well below soft tissue: air, if the scan has any. */
export const airThreshold = (softGrey: number, cortexGrey: number): number =>
  softGrey - 0.35 * (cortexGrey - softGrey)

export const greysFor = (softGrey: number, cortexGrey: number, share = LOW_SHARE): FloodGreys => ({
  boneGrey: softGrey + share * (cortexGrey - softGrey),
  airGrey: airThreshold(softGrey, cortexGrey),
})
