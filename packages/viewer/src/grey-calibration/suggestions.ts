import { type DraftPoint, emptyPoint } from './draft.js'

/** Something that nearly every scan holds, with its nominal number. */
export interface Suggestion {
  readonly what: string
  readonly hu: string
}

/** Nominal numbers for two points within the scan itself: estimates (soft tissue lies between 30 and 60). */
export const suggestions: readonly Suggestion[] = [
  { what: 'air', hu: '-1000' },
  { what: 'soft tissue', hu: '40' },
  { what: 'water', hu: '0' },
]

/** What a person who has not calibrated yet finds: two things to measure. */
export const startingRows: readonly DraftPoint[] = suggestions
  .slice(0, 2)
  .map((suggestion) => ({ ...emptyPoint, ...suggestion }))

/** Whether a row holds a nominal number as suggested. */
export const isEstimate = ({ what, hu, huSd }: DraftPoint): boolean =>
  huSd.trim() === '' && suggestions.some((s) => s.what === what.trim() && s.hu === hu.trim())
