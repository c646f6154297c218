import type { Mode } from './measure.js'
import type { RayErrors, SceneResult } from './ray-errors.js'
import type { DensityError, Finding, NearestResult, SimulatedResult } from './studies/index.js'

/** All that a run found; studies that were left out are empty. */
export interface Findings {
  readonly grid: readonly Finding<SceneResult>[]
  readonly perturbed: readonly Finding<SceneResult>[]
  readonly correlated: readonly Finding<SceneResult>[]
  readonly thin: readonly Finding<SceneResult>[]
  readonly voids: readonly Finding<SceneResult>[]
  readonly nearest: readonly Finding<NearestResult>[]
  readonly density: readonly Finding<DensityError>[]
  readonly simulated: readonly Finding<SimulatedResult | null>[]
}

/** The results of one case, seed by seed. */
export const ofCase = <Result>(findings: readonly Finding<Result>[], name: string): Result[] =>
  findings.filter((f) => f.name === name).map((f) => f.result)

/** The names of the cases found, each once, in order. */
export const casesOf = (findings: readonly Finding<unknown>[]): string[] => [
  ...new Set(findings.map((f) => f.name)),
]

/** The ray errors of one case in one mode, seed by seed. */
export const errorsOf = (findings: readonly Finding<SceneResult>[], name: string, mode: Mode): RayErrors[] =>
  ofCase(findings, name).map(({ errors }) => errors[mode])
