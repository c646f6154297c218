import type { Mesh, Plan } from '@alveometer/core'
import type {
  EngineFault,
  EngineReply,
  EngineRequest,
  FrameImages,
  FrameRequest,
  FrameResult,
  OpenResult,
  Progress,
  ReportLine,
  ScanSource,
  SeriesChoice,
} from './protocol.js'

/** What the engine could not do, with the loader's code and report where it comes from there. */
export class EngineError extends Error {
  readonly code: string
  readonly report: readonly ReportLine[]
  readonly series: readonly SeriesChoice[]

  constructor(fault: EngineFault) {
    super(fault.message)
    this.name = fault.name
    this.code = fault.code
    this.report = fault.report
    this.series = fault.series
  }
}

export interface TaskOptions {
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: Progress) => void
}

export interface Frame {
  /** Asked when the frame is sent, so that it wants no more than is missing by then; null when that is nothing. */
  readonly request: () => FrameRequest | null
  readonly onImages: (images: FrameImages) => void
  readonly onMeasured: (result: FrameResult) => void
  readonly onFault: (error: EngineError) => void
}

interface Waiting {
  readonly resolve: (result: unknown) => void
  readonly reject: (error: Error) => void
  readonly onProgress?: ((progress: Progress) => void) | undefined
  readonly onImages?: (images: FrameImages) => void
}

type Unnumbered<T> = T extends unknown ? Omit<T, 'id'> : never

/**
 * The page's side of the engine: one worker that owns the scan, reslices and measures. Of the frames asked for, one is
 * in flight and the newest waits; those between are dropped.
 */
export class Engine {
  readonly #worker: Worker
  readonly #waiting = new Map<number, Waiting>()
  #nextId = 1
  #busy = false
  #pending: Frame | null = null

  readonly #assetsBaseUrl: string

  /** @param assetsBaseUrl where the page serves the decoders of compressed pixels. */
  constructor(
    worker: Worker = startWorker(),
    assetsBaseUrl = new URL('itk/pipelines', document.baseURI).href,
  ) {
    this.#worker = worker
    this.#assetsBaseUrl = assetsBaseUrl
    worker.addEventListener('message', (event: MessageEvent<EngineReply>) => this.#receive(event.data))
    worker.addEventListener('error', (event) =>
      this.#fail(event.message || 'the measuring part did not start'),
    )
  }

  /** Loads a scan. The one loaded before stays until this one is complete. */
  open(source: ScanSource, options: TaskOptions & { readonly seriesUid?: string } = {}): Promise<OpenResult> {
    const { seriesUid, ...task } = options
    const assetsBaseUrl = this.#assetsBaseUrl
    const request = {
      op: 'open' as const,
      source,
      assetsBaseUrl,
      ...(seriesUid === undefined ? {} : { seriesUid }),
    }
    return this.#ask(request, task) as Promise<OpenResult>
  }

  /** Calibrates the scan, once after loading; measured frames give null before. */
  async prepare(options: TaskOptions = {}): Promise<void> {
    await this.#ask({ op: 'prepare' }, options)
  }

  /** A surface of the bone near the fixture, for the 3D view. */
  surface(plan: Plan, options: TaskOptions = {}): Promise<Mesh> {
    return this.#ask({ op: 'surface', plan }, options) as Promise<Mesh>
  }

  /** Pictures and numbers of a plan. The newest request wins: one overtaken while it waits is never answered. */
  frame(frame: Frame): void {
    this.#pending = frame
    this.#pump()
  }

  /** Ends the worker and everything it does. */
  close(): void {
    this.#worker.terminate()
    this.#fail('the engine was closed')
  }

  #pump(): void {
    const frame = this.#pending
    if (this.#busy || frame === null) return
    this.#pending = null
    const request = frame.request()
    if (request === null) return
    this.#busy = true
    this.#ask({ op: 'frame', ...request }, {}, frame.onImages)
      .then((result) => frame.onMeasured(result as FrameResult))
      .catch((error: EngineError) => frame.onFault(error))
      .finally(() => {
        this.#busy = false
        this.#pump()
      })
  }

  #ask(
    request: Unnumbered<EngineRequest>,
    { signal, onProgress }: TaskOptions,
    onImages?: (images: FrameImages) => void,
  ): Promise<unknown> {
    if (signal?.aborted) return Promise.reject(stopped())
    const id = this.#nextId++
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject, onProgress, ...(onImages ? { onImages } : {}) })
      const abort = () => {
        this.#worker.postMessage({ op: 'abort', id })
        this.#waiting.delete(id)
        reject(stopped())
      }
      signal?.addEventListener('abort', abort, { once: true })
      this.#worker.postMessage({ ...request, id })
    })
  }

  #receive(reply: EngineReply): void {
    const waiting = this.#waiting.get(reply.id)
    if (waiting === undefined) return
    if (reply.kind === 'progress') waiting.onProgress?.(reply.progress)
    else if (reply.kind === 'images') waiting.onImages?.(reply.images)
    else {
      this.#waiting.delete(reply.id)
      if (reply.kind === 'done') waiting.resolve(reply.result)
      else waiting.reject(new EngineError(reply.fault))
    }
  }

  #fail(message: string): void {
    const error = new EngineError({ name: 'EngineError', code: 'engine', message, report: [], series: [] })
    for (const waiting of this.#waiting.values()) waiting.reject(error)
    this.#waiting.clear()
  }
}

const stopped = (): DOMException => new DOMException('stopped', 'AbortError')

/** The form that both Vite and a page without a bundler understand: a literal URL beside this module. */
const startWorker = (): Worker =>
  new Worker(new URL('./engine-worker.js', import.meta.url), { type: 'module' })
