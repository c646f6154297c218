import type { Findings } from './findings.js'
import {
  correlatedStudy,
  densityStudy,
  gridStudy,
  nearestStudy,
  perturbedStudy,
  ridgeStudy,
  type Study,
  type StudyCase,
  simulatedStudy,
  thinStudy,
} from './studies/index.js'

export type StudyName = keyof Findings

/** A study whose kind of case does not matter to who runs it. */
export interface RunnableStudy {
  readonly cases: readonly Required<StudyCase>[]
  readonly run: (name: string, seed: string) => unknown
}

function runnable<Case extends StudyCase, Result>(study: Study<Case, Result>): RunnableStudy {
  return {
    cases: study.cases.map(({ name, seeds = study.seeds }) => ({ name, seeds })),
    run(name, seed) {
      const it = study.cases.find((c) => c.name === name)
      if (it === undefined) throw new RangeError(`study ${study.name} has no case "${name}"`)
      return study.measure(it, seed)
    },
  }
}

export const STUDIES: Readonly<Record<StudyName, RunnableStudy>> = {
  simulated: runnable(simulatedStudy),
  grid: runnable(gridStudy),
  perturbed: runnable(perturbedStudy),
  correlated: runnable(correlatedStudy),
  thin: runnable(thinStudy),
  voids: runnable(ridgeStudy),
  nearest: runnable(nearestStudy),
  density: runnable(densityStudy),
}
