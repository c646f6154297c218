import { writeFileSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import type { Findings } from './findings.js'
import { page } from './page/page.js'
import { type Job, runJobs } from './pool.js'
import { STUDIES, type StudyName } from './registry.js'
import type { Finding } from './studies/index.js'

export interface RunOptions {
  /** Two seeds for each case, and nothing written. */
  readonly short: boolean
  /** Only the studies whose name holds this word; nothing is written then. */
  readonly only?: string
  /** Where the page goes. */
  readonly path: string
}

const SHORT_SEEDS = 2

/** Measures and writes the page; prints it instead when the run is not a full one. */
export async function run({ short, only, path }: RunOptions): Promise<void> {
  const studies = (Object.keys(STUDIES) as StudyName[]).filter((study) => study.includes(only ?? ''))
  if (studies.length === 0)
    throw new RangeError(`no study is called "${only}": there are ${Object.keys(STUDIES).join(', ')}`)
  const jobs = studies.flatMap((study) => jobsOf(study, short))
  const results = await runJobs(jobs, availableParallelism(), (done) => {
    if (done % 20 === 0 || done === jobs.length) console.error(`${done} of ${jobs.length}`)
  })
  const text = page(findingsOf(jobs, results))
  if (short || only !== undefined) console.log(text)
  else writeFileSync(path, text)
}

const jobsOf = (study: StudyName, short: boolean): Job[] =>
  STUDIES[study].cases.flatMap(({ name, seeds }) =>
    Array.from({ length: short ? Math.min(seeds, SHORT_SEEDS) : seeds }, (_, n) => ({
      ...{ study, name, seed: n + 1 },
    })),
  )

function findingsOf(jobs: readonly Job[], results: readonly unknown[]): Findings {
  const of = <Result>(study: StudyName): Finding<Result>[] =>
    jobs.flatMap((job, n) =>
      job.study === study ? [{ name: job.name, seed: job.seed, result: results[n] as Result }] : [],
    )
  return {
    grid: of('grid'),
    perturbed: of('perturbed'),
    correlated: of('correlated'),
    thin: of('thin'),
    voids: of('voids'),
    nearest: of('nearest'),
    density: of('density'),
    simulated: of('simulated'),
  }
}
