/** How a place stands to a goal: see WayGoal. */
export interface Standing {
  readonly pieces: readonly number[]
  readonly kept: readonly number[]
  /** The least of the pieces. */
  readonly goal: number
}

/** What is kept is kept with so much in hand while searching, mm, so that the end does not fall short by a hair. */
export const KEPT_IN_HAND_MM = 0.001
/** What a millimetre of violation costs at first and at most, mm of the goal. Own choice. */
export const VIOLATION_COST = { first: 5, most: 320 } as const

export const standing = (pieces: readonly number[], kept: readonly number[]): Standing => ({
  pieces,
  kept,
  goal: Math.min(...pieces, Number.POSITIVE_INFINITY),
})

export const leastKept = ({ kept }: Standing): number => Math.min(...kept, Number.POSITIVE_INFINITY)

/** By how much the worst of what is kept falls short, mm. */
export const violationMm = (at: Standing): number => Math.max(0, KEPT_IN_HAND_MM - leastKept(at))

/** The goal less what violations cost, mm. */
export const merit = (at: Standing, cost: number): number => at.goal - cost * violationMm(at)
