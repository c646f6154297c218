import { parentPort } from 'node:worker_threads'
import type { Job } from './pool.js'
import { STUDIES } from './registry.js'

/** A thread that measures one case with one seed after another. */
parentPort?.on('message', async ({ study, name, seed }: Job) => {
  try {
    const result = await STUDIES[study].run(name, String(seed))
    parentPort?.postMessage({ result })
  } catch (error) {
    parentPort?.postMessage({
      error: error instanceof Error ? (error.stack ?? error.message) : String(error),
    })
  }
})
