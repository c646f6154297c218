/** One limit of the plan, and how a pose stands to it. */
export interface HeldLimit {
  /** Code of the limit, as in limitsFor. */
  readonly code: string
  /** Which of several numbers that the limit holds for: a sector, `nearest`; empty where there is one only. */
  readonly where: string
  readonly unit: 'mm' | 'deg'
  /** What was measured; null when it could not be. */
  readonly value: number | null
  readonly limit: number
  /** How far inside the limit, in its unit; negative: missed by so much. Null when it could not be measured. */
  readonly reserve: number | null
}

/** `all`, or those of bone, exit, bend and clearance alone: without the platform's depth, its place under the crown and the crown's height. */
export type LimitsCounted = 'all' | 'bone-and-access'

/** Whether a limit counts. */
export const isCounted = (counted: LimitsCounted, { code }: Pick<HeldLimit, 'code'>): boolean =>
  counted === 'all' || !/^(platform|rim|crownHeight)/.test(code)

/** The ways out. */
export type WayOut = 'straight' | 'straight-graft' | 'angled' | 'cemented'
export const WAYS_OUT: readonly WayOut[] = ['straight', 'straight-graft', 'angled', 'cemented']
