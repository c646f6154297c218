import {
  accessExit,
  angledChannel,
  type Crown,
  type ExitQuestion,
  type ExitResult,
  tabulatedCrown,
} from '@alveometer/core'
import { createRandom } from '@alveometer/phantom'
import { drawAnatomy, type StudyTooth } from './anatomy.js'
import { planFixture, type Rule, siteOf, UPRIGHT } from './rules.js'

/** Where a channel leaves: by its exit class, or not through the crown at all but facial or palatal of it. */
export type Place = 'palatal' | 'incisal' | 'facial' | 'past-facially' | 'past-palatally'

/** What one planned fixture comes to. */
export interface Outcome {
  readonly place: Place
  /** From the edge line, facial positive, mm; null where the axis misses the crown. */
  readonly offsetMm: number | null
  /** Fixture axis against the crown's long axis, degrees, facial positive. */
  readonly tiltFacialDeg: number
  /** The least bend to a wanted exit, degrees: null where no bend does, undefined where it was not asked for. */
  readonly correctionDeg: number | null | undefined
  /** Whether the exit lies where it was aimed at; null where the rule aims at none. */
  readonly aimed: boolean | null
}

/** Draws of one tooth under one rule. */
export interface Case {
  readonly tooth: StudyTooth
  readonly rule: Rule
  /** Whose angles are drawn, where not the tooth's own. */
  readonly angles?: StudyTooth
}

export interface Draws {
  readonly count: number
  /** How many of them, the first ones, are asked for their correction: it takes longer. */
  readonly corrected: number
}

/** Every draw of a case; the same ones for the same seed. */
export function outcomes({ tooth, rule, angles = tooth }: Case, draws: Draws, seed: string): Outcome[] {
  const crown = tabulatedCrown(tooth)
  const random = createRandom(`${seed}/${tooth}/${rule}/${angles}`)
  return Array.from({ length: draws.count }, (_, n) => {
    const planned = planFixture(rule, crown, drawAnatomy(tooth, random, angles))
    return outcome(crown, planned, n < draws.corrected)
  })
}

function outcome(
  crown: Crown,
  { aimed, ...fixture }: ReturnType<typeof planFixture>,
  corrected: boolean,
): Outcome {
  const question = { crown, pose: UPRIGHT, fixture, site: siteOf(crown.tooth) }
  const exit = accessExit(question)
  const place = placeOf(exit)
  return {
    place,
    offsetMm: exit.offsetMm,
    tiltFacialDeg: exit.tiltFacialDeg,
    correctionDeg: corrected ? leastBendDeg(question) : undefined,
    // An axis through the wanted place may yet run on through the edge.
    aimed: aimed && place === 'palatal',
  }
}

/** Wherever its wall may lie: how much crown is left is another question, and takes longer to answer. */
const ANY_WALL_MM = -50

const leastBendDeg = (question: ExitQuestion): number | null =>
  angledChannel({ ...question, limits: { leastWallMm: ANY_WALL_MM } }).least?.correctionDeg ?? null

/** A fixture stands under the crown: an axis that misses it runs out on the side that it leans to. */
function placeOf({ class: exitClass, tiltFacialDeg }: ExitResult): Place {
  if (exitClass === 'palatal' || exitClass === 'incisal' || exitClass === 'facial') return exitClass
  if (exitClass !== null) throw new RangeError(`an upper front crown has no ${exitClass} exit`)
  return tiltFacialDeg > 0 ? 'past-facially' : 'past-palatally'
}
