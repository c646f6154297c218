import type {
  Assessment,
  GraftMeshes,
  ImagePlane,
  Mesh,
  MissCloud,
  Plan,
  TiltChart,
  WaysOut,
} from '@alveometer/core'
import type { GreyImage } from '../drawing/grey.js'
import type { AdoptedCrown, AdoptRequest } from './adopt-crown.js'
import type { CrownFile } from './crown-meshes.js'
import { type EngineError, engineError } from './engine-error.js'
import type { ChartRequest, CloudRequest, WaysRequest } from './explore-requests.js'
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
  ScanSource,
} from './protocol.js'
import { type PartsOptions, Requests, stopped, type TaskOptions, type Unnumbered } from './requests.js'

export interface Frame {
  /** Asked when the frame is sent, so that it wants no more than is missing by then; null when that is nothing. */
  readonly request: () => FrameRequest | null
  readonly onImages: (images: FrameImages) => void
  readonly onMeasured: (result: FrameResult) => void
  readonly onFault: (error: EngineError) => void
}

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
  readonly #requests = new Requests()
  #worker: Worker | null = null
  #closed = false
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

  /** Every tilt of the fixture at once: coarse first. */
  chart(request: ChartRequest, options: PartsOptions<TiltChart> = {}): Promise<TiltChart> {
    return this.#ask({ op: 'chart', ...request }, options) as Promise<TiltChart>
  }

  /** The best placement of each way out; takes some seconds. */
  ways(request: WaysRequest, options: PartsOptions<WaysOut> = {}): Promise<WaysOut> {
    return this.#ask({ op: 'ways', ...request }, options) as Promise<WaysOut>
  }

  /** A plan under placement error: a few draws first. */
  cloud(request: CloudRequest, options: PartsOptions<MissCloud> = {}): Promise<MissCloud> {
    return this.#ask({ op: 'cloud', ...request }, options) as Promise<MissCloud>
  }

  /** Pictures that stand by themselves, beside those of the frames. */
  pictures(planes: Readonly<Record<string, ImagePlane>>): Promise<FrameImages> {
    return this.#ask({ op: 'pictures', planes }, {}) as Promise<FrameImages>
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
    worker.addEventListener('message', (event: MessageEvent<EngineReply>) =>
      this.#requests.receive(event.data),
    )
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
    this.#requests.rejectAll(`The measuring part of the page broke off${why}. Try again.`)
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
    options: PartsOptions<never>,
    onImages?: (images: FrameImages) => void,
  ): Promise<unknown> {
    if (options.signal?.aborted) return Promise.reject(stopped())
    if (this.#closed) return Promise.reject(engineError('The measuring part was closed.'))
    return this.#requests.ask(this.#running(), request, options, onImages)
  }

  #end(message: string): void {
    this.#worker?.terminate()
    this.#worker = null
    this.#requests.rejectAll(message)
  }
}

/** The form that both Vite and a page without a bundler understand: a literal URL beside this module. */
const startWorker = (): Worker =>
  new Worker(new URL('./engine-worker.js', import.meta.url), { type: 'module' })
