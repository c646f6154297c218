export interface StudyCase {
  readonly name: string
  readonly seeds?: number
}

/** One question put to many scans: each case is measured with several seeds, a random pose and noise each. */
export interface Study<Case extends StudyCase, Result> {
  readonly name: string
  readonly cases: readonly Case[]
  /** For each case in a full run, unless the case says otherwise. */
  readonly seeds: number
  readonly measure: (it: Case, seed: string) => Result | Promise<Result>
}

/** What a study found for one case and one seed. */
export interface Finding<Result> {
  readonly name: string
  readonly seed: number
  readonly result: Result
}
