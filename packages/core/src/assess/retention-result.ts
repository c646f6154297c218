/** A statement and where it comes from. */
export interface Sourced {
  readonly text: string
  readonly source: string
}

/** What was measured, with its number, and what that alone makes of a way. */
export interface RetentionReason extends Sourced {
  readonly verdict: 'open' | 'reserve' | 'closed'
}

export type RetentionWay = 'screw-straight' | 'screw-angled' | 'cemented'

/** Whether this position allows a way of holding the crown, and what speaks for and against it there. */
export interface RetentionFinding {
  readonly way: RetentionWay
  /** `closed`: a limit is not met; `reserve`: between a limit and its target; `open`: nothing measured speaks against it. */
  readonly verdict: 'open' | 'reserve' | 'closed'
  /** What was measured that makes it so, each with its number. */
  readonly because: readonly RetentionReason[]
  readonly for: readonly Sourced[]
  readonly against: readonly Sourced[]
}
