import { writeFileSync } from 'node:fs'
import { page } from './page/page.js'
import { sameAngles, study } from './study.js'

export interface RunOptions {
  /** A hundredth of the draws, and nothing written. */
  readonly short: boolean
  /** Where the page goes. */
  readonly path: string
}

const DRAWS = 10_000
const CORRECTED = 1_000

/** Simulates and writes the page; prints it instead when the run is a short one. */
export function run({ short, path }: RunOptions): void {
  const share = short ? 100 : 1
  const draws = { count: DRAWS / share, corrected: CORRECTED / share }
  const options = { draws, seed: 'exit classes', leastInBin: 200 / share }
  const text = page(study(options), sameAngles(options))
  if (short) console.log(text)
  else writeFileSync(path, text)
}
