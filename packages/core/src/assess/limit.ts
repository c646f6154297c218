/** A threshold with its source. Every one can be overridden by its code in the plan. */
export interface Limit {
  readonly code: string
  readonly value: number
  readonly unit: 'mm' | 'deg'
  /** Least and greatest value that a plan may set; own choice, wide enough for every use known. */
  readonly plausible: readonly [least: number, greatest: number]
  readonly meaning: string
  readonly source: string
}
