import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import { type DecodeReply, type Decoder, decodeImages, decodePool, workerClient } from '../decode/index.js'
import { nodeCodecs } from './decoder-codecs.js'
import { withoutStdout } from './without-stdout.js'

export interface NodeDecoderOptions {
  /** How many threads at most; 0 decodes in the calling thread. Default: the cores of the machine, at most 4. */
  readonly workers?: number
}

const MOST_WORKERS = 4

/**
 * Decodes JPEG, JPEG-LS, JPEG 2000 and High-Throughput JPEG 2000 in threads of its own. They start when the first
 * compressed image is met, end soon after the last, and do not keep the process alive. Where no threads can be started
 * it decodes in the calling thread.
 */
export function nodeDecoder(options: NodeDecoderOptions = {}): Decoder {
  const codecs = nodeCodecs()
  return decodePool({
    workers: options.workers ?? Math.min(MOST_WORKERS, availableParallelism()),
    start: startWorker,
    here: () => ({
      decode: (images) => withoutStdout(() => decodeImages(images, codecs)),
      terminate: () => codecs.reset(),
    }),
  })
}

function startWorker() {
  return workerClient((heard, broke) => {
    // The same place from the source and from what is built of it: a thread can only run the latter.
    const script = join(import.meta.dirname, '../../dist/node/decode-worker.js')
    // Options of this process, such as those of a test runner, are not for it.
    const worker = new Worker(script, { execArgv: [] })
    worker.on('message', (reply: DecodeReply) => heard(reply))
    worker.on('error', broke)
    worker.on('exit', () => broke(new Error('the thread ended')))
    worker.unref()
    return {
      post: (images, owned) => worker.postMessage(images, owned),
      terminate: () => void worker.terminate(),
      // Only while it works does the process wait for it.
      busy: (is) => (is ? worker.ref() : worker.unref()),
    }
  })
}
