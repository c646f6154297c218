import { EngineError, engineError } from './engine-error.js'
import type { EngineReply, EngineRequest, FrameImages, Progress } from './protocol.js'
import { send } from './send.js'

export interface TaskOptions {
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: Progress) => void
}

/** `onPart`: a first, coarser result. */
export interface PartsOptions<T> extends TaskOptions {
  readonly onPart?: (part: T) => void
}

interface Waiting {
  readonly resolve: (result: unknown) => void
  readonly reject: (error: Error) => void
  readonly onProgress?: ((progress: Progress) => void) | undefined
  readonly onImages?: (images: FrameImages) => void
  readonly onPart?: (part: never) => void
}

export type Unnumbered<T> = T extends { readonly id: number } ? Omit<T, 'id'> : never

/** What a worker was asked and has not answered yet. */
export class Requests {
  readonly #waiting = new Map<number, Waiting>()
  #nextId = 1

  ask(
    worker: Worker,
    request: Unnumbered<EngineRequest>,
    { signal, onProgress, onPart }: PartsOptions<never>,
    onImages?: (images: FrameImages) => void,
  ): Promise<unknown> {
    const id = this.#nextId++
    return new Promise((resolve, reject) => {
      const abort = () => {
        worker.postMessage({ op: 'abort', id })
        this.#waiting.delete(id)
        reject(stopped())
      }
      const settled =
        <T>(settle: (value: T) => void) =>
        (value: T): void => {
          signal?.removeEventListener('abort', abort)
          settle(value)
        }
      this.#waiting.set(id, {
        resolve: settled(resolve),
        reject: settled(reject),
        onProgress,
        ...(onImages ? { onImages } : {}),
        ...(onPart ? { onPart } : {}),
      })
      signal?.addEventListener('abort', abort, { once: true })
      void send(worker, { ...request, id }, () => this.#waiting.has(id))
    })
  }

  receive(reply: EngineReply): void {
    const waiting = this.#waiting.get(reply.id)
    if (waiting === undefined) return
    if (reply.kind === 'progress') waiting.onProgress?.(reply.progress)
    else if (reply.kind === 'images') waiting.onImages?.(reply.images)
    else if (reply.kind === 'part') waiting.onPart?.(reply.result as never)
    else {
      this.#waiting.delete(reply.id)
      if (reply.kind === 'done') waiting.resolve(reply.result)
      else waiting.reject(new EngineError(reply.fault))
    }
  }

  /** Whoever waits gives up. */
  rejectAll(message: string): void {
    const error = engineError(message)
    const waiting = [...this.#waiting.values()]
    this.#waiting.clear()
    for (const { reject } of waiting) reject(error)
  }
}

/** What is thrown where a task was broken off by its signal. */
export const stopped = (): DOMException => new DOMException('stopped', 'AbortError')
