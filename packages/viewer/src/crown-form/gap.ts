import {
  fitToGap,
  fromRows,
  type GapFit,
  multiply,
  type PlacedCrown,
  type Plan,
  toRows,
} from '@alveometer/core'
import type { NeighbourPlace } from '../events.js'
import { deg, mm } from '../text/format.js'

/** The places on the neighbouring teeth that can be marked, with their names. */
export const gapPlaces: readonly { readonly place: NeighbourPlace; readonly name: string }[] = [
  { place: { side: 'mesial', mark: 'contact' }, name: 'mesial contact' },
  { place: { side: 'distal', mark: 'contact' }, name: 'distal contact' },
  { place: { side: 'mesial', mark: 'cej' }, name: "mesial tooth's CEJ" },
  { place: { side: 'distal', mark: 'cej' }, name: "distal tooth's CEJ" },
]

export const placeKey = ({ side, mark }: NeighbourPlace): string => `${side} ${mark}`

export const placeName = (place: NeighbourPlace): string =>
  gapPlaces.find((p) => placeKey(p.place) === placeKey(place))?.name ?? ''

/** The plan with its crown fitted between the marked contacts and what that did to it, or why it could not be. */
export type FittedGap =
  | { readonly plan: Plan; readonly words: string; readonly problem: null }
  | { readonly plan: null; readonly words: ''; readonly problem: string }

/** Fits the crown between the contacts marked on the neighbours; `placed`: the plan's crown. Null while one is not marked. */
export function fittedToGap(plan: Plan, placed: PlacedCrown): FittedGap | null {
  const { crown, site } = plan
  const mesialContact = site.neighbours?.mesial?.contact
  const distalContact = site.neighbours?.distal?.contact
  if (mesialContact === undefined || distalContact === undefined) return null
  const contacts = { mesialContact, distalContact, pose: placed.pose }
  try {
    if (crown.kind === 'mesh') {
      const fit = fitToGap({ kind: 'mesh', crown: placed.crown, ...contacts })
      const pose = toRows(multiply(fit.motion, fromRows(crown.pose)))
      return { plan: { ...plan, crown: { ...crown, pose } }, words: told(fit), problem: null }
    }
    const { tooth, size = {} } = crown
    const fit = fitToGap({ kind: 'tabulated', tooth, size, ...contacts })
    const fitted = { ...crown, pose: toRows(fit.pose), ...(fit.size === null ? {} : { size: fit.size }) }
    return { plan: { ...plan, crown: fitted }, words: told(fit), problem: null }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    return { plan: null, words: '', problem: error.message }
  }
}

function told({ gapMm, widthMm, changeMm, leftMm, turnedDeg, size }: GapFit): string {
  const turned = `turned ${deg(Math.abs(turnedDeg))} ${turnedDeg < 0 ? 'distally' : 'mesially'}`
  const width =
    size === null
      ? `the crown is not scaled: ${mm(Math.abs(leftMm))} ${leftMm < 0 ? 'too wide' : 'left'}`
      : `crown ${mm(widthMm)} wide, ${mm(Math.abs(changeMm))} ${changeMm < 0 ? 'narrower' : 'wider'}`
  return `Gap ${mm(gapMm)}; ${width}; ${turned}.`
}
