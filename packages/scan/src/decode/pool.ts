import type { Frame } from '../grey/index.js'
import type { CompressedImage, Decoder } from './decoder.js'
import { NoAnswer, WorkerUnavailable } from './failures.js'

/** Something that decodes one block at a time. */
export interface DecodeWorker {
  /** Rejects when it fails, when it is ended, and with WorkerUnavailable when it never ran. */
  decode(images: readonly CompressedImage[]): Promise<Frame['pixels']>
  /** Ends it at once, whatever it does. */
  terminate(): void
}

export interface PoolOptions {
  /** How many workers at most; 0 for none, then everything is done in the calling thread. */
  readonly workers: number
  readonly start: () => DecodeWorker
  /** Does the same in the calling thread. */
  readonly here: () => DecodeWorker
  /** How long a block may take. */
  readonly patienceMs?: (images: readonly CompressedImage[]) => number
  /** Workers without work for so long are ended. */
  readonly idleMs?: number
}

/** Enough for the start of a call to weigh little, few enough to share among workers. */
const BLOCK_SIZE = 8
/** The slowest machine needs less; a decoder that takes longer waits for something that does not come. */
const patience = (images: readonly CompressedImage[]) => 1000 * (60 + 5 * images.length)
const IDLE_MS = 2000

/**
 * A decoder that spreads blocks over workers, which start when they are needed and end soon after. A worker that fails
 * in any way is ended and replaced: nothing is decoded twice in memory that an error may have damaged. Where no worker
 * can be had (a policy forbids it, or workers in workers are not supported), the calling thread does the work.
 */
export function decodePool(options: PoolOptions): Decoder {
  const pool = new Pool(options)
  return {
    blockSize: BLOCK_SIZE,
    blocksAtOnce: Math.max(1, options.workers),
    decode: (images, signal) => pool.decode(images, signal),
    close: () => pool.close(),
  }
}

class Pool {
  readonly #options: PoolOptions
  readonly #workers = new Set<DecodeWorker>()
  readonly #free: DecodeWorker[] = []
  readonly #queue: { take(worker: DecodeWorker): void; reject(cause: unknown): void }[] = []
  #limit: number
  #here: boolean
  #idle: ReturnType<typeof setTimeout> | undefined

  constructor(options: PoolOptions) {
    this.#options = options
    this.#here = options.workers < 1
    this.#limit = Math.max(1, options.workers)
  }

  async decode(images: readonly CompressedImage[], signal?: AbortSignal): Promise<Frame['pixels']> {
    const worker = await this.#take(signal)
    if (!this.#workers.has(worker)) throw closed()
    try {
      const patienceMs = (this.#options.patienceMs ?? patience)(images)
      const pixels = await inTime(worker.decode(images), patienceMs, signal)
      this.#give(worker)
      return pixels
    } catch (cause) {
      if (!this.#workers.has(worker)) throw closed()
      if (cause instanceof WorkerUnavailable) this.#withoutWorkers()
      this.#drop(worker)
      if (cause instanceof WorkerUnavailable) return this.decode(images, signal)
      throw cause
    }
  }

  close(): void {
    clearTimeout(this.#idle)
    for (const waiting of this.#queue.splice(0)) waiting.reject(closed())
    this.#free.length = 0
    for (const worker of this.#workers) worker.terminate()
    this.#workers.clear()
  }

  /** A free worker, a new one, or the next that becomes free. */
  #take(signal?: AbortSignal): Promise<DecodeWorker> {
    signal?.throwIfAborted()
    clearTimeout(this.#idle)
    const worker = this.#free.pop() ?? this.#start()
    if (worker) return Promise.resolve(worker)
    return new Promise((resolve, reject) => {
      const abort = () => {
        this.#queue.splice(this.#queue.indexOf(waiting), 1)
        reject(signal?.reason)
      }
      const waiting = {
        take: (freed: DecodeWorker) => {
          signal?.removeEventListener('abort', abort)
          resolve(freed)
        },
        reject,
      }
      this.#queue.push(waiting)
      signal?.addEventListener('abort', abort, { once: true })
    })
  }

  #start(): DecodeWorker | null {
    if (this.#workers.size >= this.#limit) return null
    const worker = this.#open()
    this.#workers.add(worker)
    return worker
  }

  #open(): DecodeWorker {
    if (this.#here) return this.#options.here()
    try {
      return this.#options.start()
    } catch {
      this.#withoutWorkers()
      return this.#options.here()
    }
  }

  #withoutWorkers(): void {
    this.#here = true
    this.#limit = 1
  }

  #give(worker: DecodeWorker): void {
    // One that was closed meanwhile is not used again.
    if (!this.#workers.has(worker)) return
    const next = this.#queue.shift()
    if (next) next.take(worker)
    else this.#free.push(worker)
    if (this.#free.length === this.#workers.size) this.#endSoon()
  }

  #drop(worker: DecodeWorker): void {
    worker.terminate()
    this.#workers.delete(worker)
    const next = this.#queue[0] ? this.#start() : null
    if (next) this.#queue.shift()?.take(next)
  }

  #endSoon(): void {
    clearTimeout(this.#idle)
    this.#idle = setTimeout(() => {
      for (const worker of this.#free.splice(0)) {
        worker.terminate()
        this.#workers.delete(worker)
      }
    }, this.#options.idleMs ?? IDLE_MS)
    // In Node a timer would keep the process alive.
    if (typeof this.#idle === 'object') this.#idle.unref()
  }
}

const closed = () => new DOMException('the decoder was closed', 'AbortError')

/** The result, unless time runs out or the signal aborts first. */
async function inTime<T>(work: Promise<T>, milliseconds: number, signal?: AbortSignal): Promise<T> {
  let timer: ReturnType<typeof setTimeout> | undefined
  let abort = () => {}
  const stopped = new Promise<never>((_, reject) => {
    abort = () => reject(signal?.reason)
    signal?.addEventListener('abort', abort, { once: true })
    const late = new NoAnswer(`no answer from the decoder in ${milliseconds / 1000} s`)
    timer = setTimeout(() => reject(late), milliseconds)
  })
  try {
    return await Promise.race([work, stopped])
  } finally {
    clearTimeout(timer)
    signal?.removeEventListener('abort', abort)
  }
}
