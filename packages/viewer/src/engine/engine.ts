import type { Assessment, GraftMeshes, Mesh, Plan } from '@alveometer/core'
import type { GreyImage } from '../drawing/grey.js'
import type { AdoptedCrown, AdoptRequest } from './adopt-crown.js'
import type { CrownFile } from './crown-meshes.js'
import { EngineError, engineError } from './engine-error.js'
import type { GraftSurfacesRequest } from './graft-surfaces.js'
import type {
  Across,
  CrownRead,
  EngineReply,
  EngineRequest,
  FrameImages,
  FrameRequest,
  FrameResult,
  OpenRequest,
  OpenResult,
  PickContents,
  PreviewFacts,
  ProbeRequest,
  ProbeResult,
  Progress,
  ScanSource,
} from './protocol.js'
import { send } from './send.js'

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

type Unnumbered<T> = T extends { readonly id: number } ? Omit<T, 'id'> : never

/**
 * The page's side of the engine: one worker that owns the scan, reslices and measures. Of the frames asked for, one is
 * in flight and the newest waits; those between are dropped. A worker that breaks down is replaced by a fresh one when
 * it is needed next; its scan is lost then and has to be opened again.
 *
 * @fires lost the worker broke down and its scan with it; detail EngineError.
 */
export class Engine extends EventTarget {
  readonly #start: () => Worker
  readonly #assetsBaseUrl: string
  readonly #patienceMs: number
  readonly #crowns: (readonly [CrownFile, Mesh])[] = []
  readonly #waiting = new Map<number, Waiting>()
  #worker: Worker | null = null
  #closed = false
  #nextId = 1
  #busy = false
  #pending: Frame | null = null
  #refining: AbortController | null = null

  /**
   * @param start makes the worker.
   * @param assetsBaseUrl where the page serves the decoders of compressed pixels.
   * @param patienceMs how long a worker with an error may be silent before it counts as dead.
   */
  constructor(
    start: () => Worker = startWorker,
    assetsBaseUrl = new URL('itk/pipelines', document.baseURI).href,
    patienceMs = 10_000,
  ) {
    super()
    this.#start = start
    this.#assetsBaseUrl = assetsBaseUrl
    this.#patienceMs = patienceMs
  }

  /** What is in a pick: all series with their pictures and persons. Nothing of the scan loaded before changes. */
  inspect(source: ScanSource, options: TaskOptions = {}): Promise<PickContents> {
    return this.#ask({ op: 'inspect', source, ...this.#assets }, options) as Promise<PickContents>
  }

  /** Holds a scan whose geometry is open ready for `previewImage`, beside the one loaded. */
  preview(source: ScanSource, seriesUid: string, options: TaskOptions = {}): Promise<PreviewFacts> {
    const request = { op: 'preview' as const, source, seriesUid, ...this.#assets }
    return this.#ask(request, options) as Promise<PreviewFacts>
  }

  /** One picture of the scan previewed, as its voxels lie. */
  previewImage(across: Across, index: number): Promise<GreyImage> {
    return this.#ask({ op: 'preview-image', across, index }, {}) as Promise<GreyImage>
  }

  /** Frees what is previewed. */
  async closePreview(): Promise<void> {
    if (this.#worker !== null) await this.#ask({ op: 'close-preview' }, {})
  }

  /** Loads a scan. The one loaded before stays until this one is complete. */
  open(source: ScanSource, options: TaskOptions & OpenRequest = {}): Promise<OpenResult> {
    const { signal, onProgress, ...request } = options
    const task = { ...(signal ? { signal } : {}), ...(onProgress ? { onProgress } : {}) }
    return this.#ask({ op: 'open', source, ...this.#assets, ...request }, task) as Promise<OpenResult>
  }

  /** Calibrates the scan, once after loading; measured frames give null before. */
  async prepare(options: TaskOptions = {}): Promise<void> {
    await this.#ask({ op: 'prepare' }, options)
  }

  /** A surface of the bone near the fixture, for the 3D view. */
  surface(plan: Plan, options: TaskOptions = {}): Promise<Mesh> {
    return this.#ask({ op: 'surface', plan }, options) as Promise<Mesh>
  }

  /** The bodies of a plan's graft, for the 3D view; null where there is nothing to graft. */
  graftMeshes(request: GraftSurfacesRequest, options: TaskOptions = {}): Promise<GraftMeshes | null> {
    return this.#ask({ op: 'graft-meshes', ...request }, options) as Promise<GraftMeshes | null>
  }

  /** Pictures and numbers of a plan. The newest request wins: one overtaken while it waits is never answered. */
  frame(frame: Frame): void {
    this.#pending = frame
    this.#pump()
  }

  /**
   * The refined numbers of a plan: about a second, during which frames are answered. One at a time: another one, or a
   * frame that measures, stops the one that runs; it rejects with AbortError then.
   */
  async refine(plan: Plan, { signal, onProgress }: TaskOptions = {}): Promise<Assessment> {
    this.#refining?.abort()
    const own = new AbortController()
    this.#refining = own
    const either = signal ? AbortSignal.any([signal, own.signal]) : own.signal
    const options = onProgress ? { signal: either, onProgress } : { signal: either }
    try {
      return (await this.#ask({ op: 'refine', plan }, options)) as Assessment
    } finally {
      if (this.#refining === own) this.#refining = null
    }
  }

  /** A crown's mesh file, read and put in order. */
  readCrown(name: string, bytes: Uint8Array): Promise<CrownRead> {
    return this.#ask({ op: 'read-crown', name, bytes }, {}) as Promise<CrownRead>
  }

  /** The crown of a plan that comes of a mesh file; takes a second or so. */
  adoptCrown(request: AdoptRequest): Promise<AdoptedCrown> {
    return this.#ask({ op: 'adopt-crown', ...request }, {}) as Promise<AdoptedCrown>
  }

  /** Hands over a crown mesh as its file holds it, once; a fresh worker gets it again. */
  keepCrown(of: CrownFile, mesh: Mesh): void {
    this.#crowns.push([of, mesh])
    this.#worker?.postMessage({ op: 'crown', of, mesh } satisfies EngineRequest)
  }

  /** Mean and SD of the grey in a disc; null where data is missing in it. */
  probe(disc: ProbeRequest): Promise<ProbeResult | null> {
    return this.#ask({ op: 'probe', ...disc }, {}) as Promise<ProbeResult | null>
  }

  /** Ends the worker and everything it does. */
  close(): void {
    this.#closed = true
    this.#end('The measuring part was closed.')
  }

  get #assets(): { readonly assetsBaseUrl: string } {
    return { assetsBaseUrl: this.#assetsBaseUrl }
  }

  #running(): Worker {
    if (this.#worker !== null) return this.#worker
    const worker = this.#start()
    worker.addEventListener('message', (event: MessageEvent<EngineReply>) => this.#receive(event.data))
    for (const broken of ['error', 'messageerror'] as const)
      worker.addEventListener(broken, (event) => {
        event.preventDefault()
        const why = event instanceof ErrorEvent && event.message ? ` (${event.message})` : ''
        if (worker === this.#worker) void this.#suspect(why)
      })
    this.#worker = worker
    for (const [of, mesh] of this.#crowns)
      worker.postMessage({ op: 'crown', of, mesh } satisfies EngineRequest)
    return worker
  }

  /** An error that nothing caught: whoever waits gives up. A worker that still answers keeps its scan. */
  async #suspect(why: string): Promise<void> {
    const worker = this.#worker
    this.#rejectAll(`The measuring part of the page broke off${why}. Try again.`)
    let timer = 0
    const silence = new Promise<boolean>((done) => {
      timer = window.setTimeout(() => done(true), this.#patienceMs)
    })
    const dead = await Promise.race([
      silence,
      this.#ask({ op: 'ping' }, {}).then(
        () => false,
        () => false,
      ),
    ])
    clearTimeout(timer)
    if (!dead || worker !== this.#worker) return
    const message = `The measuring part of the page broke down${why}. It starts afresh: open the scan again.`
    this.#end(message)
    this.dispatchEvent(new CustomEvent('lost', { detail: engineError(message) }))
  }

  #pump(): void {
    const frame = this.#pending
    if (this.#busy || frame === null) return
    this.#pending = null
    const request = frame.request()
    if (request === null) return
    if (request.measure) this.#refining?.abort()
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
    if (this.#closed) return Promise.reject(engineError('The measuring part was closed.'))
    const worker = this.#running()
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
      })
      signal?.addEventListener('abort', abort, { once: true })
      void send(worker, { ...request, id }, () => this.#waiting.has(id))
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

  #end(message: string): void {
    this.#worker?.terminate()
    this.#worker = null
    this.#rejectAll(message)
  }

  #rejectAll(message: string): void {
    const error = engineError(message)
    const waiting = [...this.#waiting.values()]
    this.#waiting.clear()
    for (const { reject } of waiting) reject(error)
  }
}

const stopped = (): DOMException => new DOMException('stopped', 'AbortError')

/** The form that both Vite and a page without a bundler understand: a literal URL beside this module. */
const startWorker = (): Worker =>
  new Worker(new URL('./engine-worker.js', import.meta.url), { type: 'module' })
