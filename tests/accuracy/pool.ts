import { Worker } from 'node:worker_threads'
import type { StudyName } from './registry.js'

/** One case with one seed. */
export interface Job {
  readonly study: StudyName
  readonly name: string
  readonly seed: number
}

/**
 * Runs jobs on threads and answers their results in the order of the jobs.
 * @throws Error naming the job, when one fails.
 */
export async function runJobs(
  jobs: readonly Job[],
  threads: number,
  onDone: (done: number) => void,
): Promise<unknown[]> {
  const results: unknown[] = new Array(jobs.length)
  let next = 0
  let done = 0
  const work = async () => {
    const worker = new Worker(new URL('./worker.js', import.meta.url))
    try {
      while (next < jobs.length) {
        const at = next++
        results[at] = await ask(worker, jobs[at])
        onDone(++done)
      }
    } finally {
      await worker.terminate()
    }
  }
  await Promise.all(Array.from({ length: Math.min(threads, jobs.length) }, work))
  return results
}

const ask = (worker: Worker, job: Job): Promise<unknown> =>
  new Promise((resolve, reject) => {
    const settle = (reply: { readonly result?: unknown; readonly error?: string }) => {
      worker.off('error', reject)
      if (reply.error === undefined) resolve(reply.result)
      else reject(new Error(`${job.study}, ${job.name}, seed ${job.seed}: ${reply.error}`))
    }
    worker.once('message', settle)
    worker.once('error', reject)
    worker.postMessage(job)
  })
