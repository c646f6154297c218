import { type StudyTooth, TEETH } from './anatomy.js'
import { type Draws, type Outcome, outcomes } from './measure.js'
import { RULES, type Rule } from './rules.js'
import { type Bin, byTilt, type Summary, summarise } from './summary.js'

export interface StudyOptions {
  readonly draws: Draws
  readonly seed: string
  /** Fewest draws of a tilt bin that is shown. */
  readonly leastInBin: number
}

export interface StudyCase {
  readonly tooth: StudyTooth
  readonly rule: Rule
  readonly summary: Summary
}

export interface Study {
  readonly options: StudyOptions
  readonly cases: readonly StudyCase[]
  /** All teeth of a rule together, as many of each. */
  readonly together: Readonly<Record<Rule, Summary>>
  readonly tilts: Readonly<Record<StudyTooth, readonly Bin[]>>
}

/** Plans every tooth by every rule. */
export function study(options: StudyOptions): Study {
  const all = TEETH.flatMap((tooth) =>
    RULES.map((rule) => ({ tooth, rule, found: outcomes({ tooth, rule }, options.draws, options.seed) })),
  )
  const of = (is: (it: (typeof all)[number]) => boolean): Outcome[] =>
    all.filter(is).flatMap(({ found }) => found)
  const bins = (tooth: StudyTooth) =>
    byTilt(
      of((it) => it.tooth === tooth),
      options.leastInBin,
    )
  const together = (rule: Rule) => summarise(of((it) => it.rule === rule))
  return {
    options,
    cases: all.map(({ tooth, rule, found }) => ({ tooth, rule, summary: summarise(found) })),
    together: { tooth: together('tooth'), process: together('process'), palatal: together('palatal') },
    tilts: { '11': bins('11'), '12': bins('12'), '13': bins('13') },
  }
}

/** Every tooth with the lateral incisor's angles: what is left of its differences is the crown's, root's and fixture's. */
export const sameAngles = ({ draws, seed }: StudyOptions): StudyCase[] =>
  TEETH.flatMap((tooth) =>
    RULES.map((rule) => ({
      ...{ tooth, rule },
      summary: summarise(outcomes({ tooth, rule, angles: '12' }, draws, seed)),
    })),
  )

/** Mean bend of a tooth under a rule, degrees. */
export function meanBend(cases: readonly StudyCase[], tooth: StudyTooth, rule: Rule): number {
  const found = cases.find((it) => it.tooth === tooth && it.rule === rule)
  if (found === undefined) throw new RangeError(`tooth ${tooth} was not planned by the rule ${rule}`)
  return found.summary.corrections.meanDeg
}

/** Whether every tilt bin has at least the facial share of the one before it. */
export const growsWithTilt = (bins: readonly Bin[]): boolean =>
  bins.every(({ facial }, n) => n === 0 || facial.share >= bins[n - 1].facial.share)

/** Whether laterals need the greatest mean bend of the three teeth. */
export const lateralsMost = (cases: readonly StudyCase[], rule: Rule): boolean =>
  TEETH.every((tooth) => meanBend(cases, tooth, rule) <= meanBend(cases, '12', rule))
