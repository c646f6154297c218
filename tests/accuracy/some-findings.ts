import type { Findings } from './findings.js'
import type { Finding, Study, StudyCase } from './studies/index.js'

export const NOTHING: Findings = {
  ...{ grid: [], perturbed: [], correlated: [], thin: [] },
  ...{ voids: [], nearest: [], density: [], simulated: [] },
}

/** Measures some cases of a study with the first seeds of a full run. */
export async function someFindings<Case extends StudyCase, Result>(
  study: Study<Case, Result>,
  names: readonly string[],
  seeds: number,
): Promise<Finding<Result>[]> {
  const found: Finding<Result>[] = []
  for (const name of names) {
    const it = study.cases.find((c) => c.name === name)
    if (it === undefined) throw new RangeError(`study ${study.name} has no case "${name}"`)
    for (let seed = 1; seed <= seeds; seed++)
      found.push({ name, seed, result: await study.measure(it, String(seed)) })
  }
  return found
}
