/// <reference lib="webworker" />
import {
  assess,
  type BoneModel,
  type Mesh,
  type Plan,
  prepareBone,
  reslice,
  type Volume,
} from '@alveometer/core'
import type { GreyImage } from '../drawing/grey.js'
import { boneSurface } from '../scene/bone-surface.js'
import { faultOf } from './fault.js'
import { openScan } from './open-scan.js'
import type { EngineReply, EngineRequest, FrameResult, Progress } from './protocol.js'

/** The worker that owns the scan. One at a time: a new scan replaces the old one when it is complete, never before. */
const scope = self as unknown as DedicatedWorkerGlobalScope
const running = new Map<number, AbortController>()
let volume: Volume | null = null
let bone: BoneModel | null = null

/** A turn of the event loop, in which a message to stop can come in. */
const pause = (): Promise<void> => new Promise((done) => setTimeout(done))

const reply = (message: EngineReply, transfer: Transferable[] = []): void =>
  scope.postMessage(message, transfer)

scope.addEventListener('message', (event: MessageEvent<EngineRequest>) => {
  const request = event.data
  if (request.op === 'abort') {
    running.get(request.id)?.abort()
    return
  }
  const controller = new AbortController()
  running.set(request.id, controller)
  answer(request, controller.signal)
    .then((result) => reply({ kind: 'done', id: request.id, result }))
    .catch((error: unknown) => reply({ kind: 'failed', id: request.id, fault: faultOf(error) }))
    .finally(() => running.delete(request.id))
})

async function answer(
  request: Exclude<EngineRequest, { op: 'abort' }>,
  signal: AbortSignal,
): Promise<unknown> {
  const onProgress = (progress: Progress): void => reply({ kind: 'progress', id: request.id, progress })
  switch (request.op) {
    case 'open': {
      const { assetsBaseUrl } = request
      const seriesUid = request.seriesUid === undefined ? {} : { seriesUid: request.seriesUid }
      const opened = await openScan(request.source, { ...seriesUid, assetsBaseUrl, signal, onProgress })
      signal.throwIfAborted()
      volume = opened.volume
      bone = null
      return opened.result
    }
    case 'prepare': {
      const subject = theVolume()
      const prepared = await prepareBone(subject, { signal, onProgress, pause })
      signal.throwIfAborted()
      // Another scan may have come in the meantime; its bone is not this one.
      if (subject === volume) bone = prepared
      return null
    }
    case 'frame':
      return frame(request)
    case 'surface':
      return surface(request.plan, signal)
  }
}

/** Pictures first, they cost little; then the numbers. */
function frame(request: Extract<EngineRequest, { op: 'frame' }>): FrameResult {
  const subject = theVolume()
  const images: Record<string, GreyImage> = {}
  for (const [name, plane] of Object.entries(request.planes))
    images[name] = { pixels: reslice(subject, plane), width: plane.width, height: plane.height }
  const buffers = Object.values(images).map((image) => image.pixels.buffer as ArrayBuffer)
  if (buffers.length > 0) reply({ kind: 'images', id: request.id, images }, buffers)
  return request.measure && bone !== null ? assess(subject, request.plan, { bone }) : null
}

/** A third of the way from soft tissue to cortex: thin plates stay. To look at, not to measure on. */
function surface(plan: Plan, signal: AbortSignal): Mesh {
  if (bone === null) throw new Error('the scan is not calibrated yet')
  const { softGrey, cortexGrey } = bone.calibration
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
