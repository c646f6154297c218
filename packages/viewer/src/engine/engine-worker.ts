/// <reference lib="webworker" />
import {
  type Assessment,
  assess,
  assessInSteps,
  type BoneModel,
  fileFingerprint,
  type ImagePlane,
  importMesh,
  type Mesh,
  type Plan,
  prepareBone,
  reslice,
  type Volume,
} from '@alveometer/core'
import type { ScanPreview } from '@alveometer/scan'
import type { GreyImage } from '../drawing/grey.js'
import { boneSurface } from '../scene/bone-surface.js'
import { adoptedCrown } from './adopt-crown.js'
import { CrownMeshes } from './crown-meshes.js'
import { Explorer, type Exploring } from './explore.js'
import { faultOf } from './fault.js'
import { graftSurfaces } from './graft-surfaces.js'
import { inspectPick, openScan } from './open-scan.js'
import { inputsOf } from './pick.js'
import { openPreview, previewImage } from './preview.js'
import { probe } from './probe.js'
import type { CrownRead, EngineReply, EngineRequest, FrameResult, Progress } from './protocol.js'
import { turn } from './turn.js'

/** The worker that owns the scan. One at a time: a new scan replaces the old one when it is complete, never before. */
const scope = self as unknown as DedicatedWorkerGlobalScope
const running = new Map<number, AbortController>()
/** Files that came ahead of their request. */
const sent = new Map<number, readonly File[]>()
let volume: Volume | null = null
let bone: BoneModel | null = null
const crowns = new CrownMeshes()
const explorer = new Explorer()
/** A scan that is not opened yet because its geometry is being confirmed. */
let preview: ScanPreview | null = null

const reply = (message: EngineReply, transfer: Transferable[] = []): void =>
  scope.postMessage(message, transfer)

scope.addEventListener('message', (event: MessageEvent<EngineRequest>) => {
  const { data } = event
  if (data.op === 'abort') {
    sent.delete(data.id)
    running.get(data.id)?.abort()
    return
  }
  if (data.op === 'files') {
    sent.set(data.id, [...(sent.get(data.id) ?? []), ...data.files])
    return
  }
  if (data.op === 'crown') {
    crowns.keep(data.of, data.mesh)
    return
  }
  const request = withFiles(data)
  const controller = new AbortController()
  running.set(request.id, controller)
  answer(request, controller.signal)
    .then((result) => reply({ kind: 'done', id: request.id, result }))
    .catch((error: unknown) => reply({ kind: 'failed', id: request.id, fault: faultOf(error) }))
    .finally(() => running.delete(request.id))
})

type Task = Exclude<EngineRequest, { op: 'abort' | 'files' | 'crown' }>

function withFiles(request: Task): Task {
  const files = sent.get(request.id)
  if (!files || !('source' in request) || request.source.kind !== 'files') return request
  sent.delete(request.id)
  return { ...request, source: { ...request.source, files } }
}

async function answer(request: Task, signal: AbortSignal): Promise<unknown> {
  const onProgress = (progress: Progress): void => reply({ kind: 'progress', id: request.id, progress })
  switch (request.op) {
    case 'inspect': {
      const { inputs, name } = await inputsOf(request.source, { signal, onProgress })
      return inspectPick(inputs, name, { assetsBaseUrl: request.assetsBaseUrl, signal, onProgress })
    }
    case 'preview': {
      const { source, assetsBaseUrl, seriesUid } = request
      preview = null
      const { inputs } = await inputsOf(source, { signal, onProgress })
      const opened = await openPreview(inputs, { assetsBaseUrl, seriesUid, signal, onProgress })
      signal.throwIfAborted()
      preview = opened.preview
      return opened.facts
    }
    case 'preview-image':
      if (preview === null) throw new Error('nothing is being previewed')
      return previewImage(preview, request.across, request.index)
    case 'close-preview':
      preview = null
      return null
    case 'open':
      return open(request, signal, onProgress)
    case 'prepare': {
      const subject = theVolume()
      const prepared = await prepareBone(subject, { signal, onProgress, pause: turn })
      signal.throwIfAborted()
      // Another scan may have come in the meantime; its bone is not this one.
      if (subject === volume) bone = prepared
      return null
    }
    case 'frame':
      return frame(request)
    case 'refine':
      return refine(request.plan, signal, onProgress)
    case 'probe':
      return probe(theVolume(), request)
    case 'read-crown':
      return readCrown(request.name, request.bytes)
    case 'adopt-crown':
      return adoptedCrown(request)
    case 'surface':
      return surface(request.plan, signal)
    case 'graft-meshes':
      return graftSurfaces(theBone(), request, signal)
    case 'chart':
      return explorer.chart(theBone(), request, crowns.of(request.plan), exploring(request.id, signal))
    case 'ways':
      return explorer.ways(theBone(), request, crowns.of(request.plan), exploring(request.id, signal))
    case 'cloud':
      return explorer.cloud(theBone(), request, crowns.of(request.plan), exploring(request.id, signal))
    case 'pictures':
      return pictures(theVolume(), request.planes)
    case 'ping':
      return null
  }
}

/** Parts of a result go out as they come; messages are answered between two steps. */
const exploring = <T>(id: number, signal: AbortSignal): Exploring<T> => ({
  signal,
  onPart: (result) => reply({ kind: 'part', id, result }),
  onProgress: (progress) => reply({ kind: 'progress', id, progress }),
  pause: turn,
})

function pictures(subject: Volume, planes: Readonly<Record<string, ImagePlane>>): Record<string, GreyImage> {
  const images: Record<string, GreyImage> = {}
  for (const [name, plane] of Object.entries(planes))
    images[name] = { pixels: reslice(subject, plane), width: plane.width, height: plane.height }
  return images
}

async function open(
  { id: _, op: __, source, ...request }: Extract<EngineRequest, { op: 'open' }>,
  signal: AbortSignal,
  onProgress: (progress: Progress) => void,
): Promise<unknown> {
  const { inputs, name } = await inputsOf(source, { signal, onProgress })
  const opened = await openScan(inputs, name, {
    ...request,
    signal,
    onProgress: (progress) => {
      // The answers were taken: its room is needed for the volume.
      if (progress.stage === 'pixels') preview = null
      onProgress(progress)
    },
  })
  signal.throwIfAborted()
  volume = opened.volume
  bone = null
  return opened.result
}

const readCrown = (name: string, bytes: Uint8Array): CrownRead => ({
  imported: importMesh(bytes, name),
  fingerprint: fileFingerprint(bytes),
})

/** Pictures first, they cost little; then the numbers. */
function frame(request: Extract<EngineRequest, { op: 'frame' }>): FrameResult {
  const subject = theVolume()
  const images = pictures(subject, request.planes)
  const buffers = Object.values(images).map((image) => image.pixels.buffer as ArrayBuffer)
  if (buffers.length > 0) reply({ kind: 'images', id: request.id, images }, buffers)
  return request.measure && bone !== null
    ? assess(subject, request.plan, { bone, ...crownOf(request.plan) })
    : null
}

/** The same plan as a frame before it, measured as well as can be; frames that come in meanwhile are answered first. */
function refine(
  plan: Plan,
  signal: AbortSignal,
  onProgress: (progress: Progress) => void,
): Promise<Assessment> {
  const subject = theVolume()
  return assessInSteps(subject, plan, {
    mode: 'refined',
    bone: theBone(),
    ...crownOf(plan),
    signal,
    onProgress,
    pause: turn,
  })
}

/** The mesh that the plan's crown needs, where it needs one and it is here. */
function crownOf(plan: Plan): { readonly crownMesh?: Mesh } {
  const crownMesh = crowns.of(plan)
  return crownMesh === undefined ? {} : { crownMesh }
}

/** A third of the way from soft tissue to cortex: thin plates stay. To look at, not to measure on. */
function surface(plan: Plan, signal: AbortSignal): Mesh {
  const { softGrey, cortexGrey } = theBone().calibration
  return boneSurface(theVolume(), {
    centre: plan.fixture.platform,
    radiusMm: 18,
    isoGrey: softGrey + 0.35 * (cortexGrey - softGrey),
    signal,
  })
}

function theVolume(): Volume {
  if (volume === null) throw new Error('no scan is loaded')
  return volume
}

function theBone(): BoneModel {
  if (bone === null) throw new Error('the scan is not calibrated yet')
  return bone
}
