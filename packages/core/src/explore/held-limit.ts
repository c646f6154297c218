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

/** The ways out. */
export type WayOut = 'straight' | 'straight-graft' | 'angled' | 'cemented'
export const WAYS_OUT: readonly WayOut[] = ['straight', 'straight-graft', 'angled', 'cemented']
