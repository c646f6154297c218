import { browserCodecs, type CodecAddresses } from './browser-codecs.js'
import { decodeImages } from './codecs.js'
import type { Decoder } from './decoder.js'
import { decodePool } from './pool.js'
import { workerClient } from './worker-client.js'
import type { DecodeReply, DecodeRequest } from './worker-messages.js'

export interface BrowserDecoderOptions {
  /**
   * Absolute address of the folder that serves `read-image-dicom-file-series.js` and
   * `read-image-dicom-file-series.wasm.zst` from `@itk-wasm/dicom/dist/pipelines`. Never a foreign server.
   */
  readonly assetsBaseUrl: string
  /**
   * The same for `openjphjs.js` and `openjphjs.wasm` from `@cornerstonejs/codec-openjph/dist`, for High-Throughput
   * JPEG 2000. Default: the same folder.
   */
  readonly htj2kBaseUrl?: string
  /** How many workers at most; 0 decodes in the calling thread. Default: the cores of the machine, at most 4. */
  readonly workers?: number
}

const MOST_WORKERS = 4

/**
 * Decodes JPEG, JPEG-LS, JPEG 2000 and High-Throughput JPEG 2000 in module workers of its own. They start when the
 * first compressed image is met and end soon after the last. Call it from a worker: where no further workers can be
 * started (a policy forbids it, or the browser knows no workers in workers), it decodes in the calling thread, where a
 * codec that never returns cannot be stopped.
 */
export function browserDecoder(options: BrowserDecoderOptions): Decoder {
  const { assetsBaseUrl, htj2kBaseUrl = assetsBaseUrl } = options
  const addresses = { itk: assetsBaseUrl, openJph: htj2kBaseUrl }
  const codecs = browserCodecs(addresses)
  return decodePool({
    workers: options.workers ?? Math.min(MOST_WORKERS, navigator.hardwareConcurrency || 1),
    start: () => startWorker(addresses),
    // What it has loaded stays for the next load; itk-wasm would keep it anyway.
    here: () => ({ decode: (images) => decodeImages(images, codecs), terminate: () => {} }),
  })
}

function startWorker(addresses: CodecAddresses) {
  return workerClient((heard, broke) => {
    // The form that both Vite and a page without a bundler understand: a literal URL beside this module.
    const worker = new Worker(new URL('./decode-worker.js', import.meta.url), { type: 'module' })
    worker.addEventListener('message', ({ data }: MessageEvent<DecodeReply>) => heard(data))
    worker.addEventListener('messageerror', () => broke(new Error('an answer could not be read')))
    worker.addEventListener('error', (event) => {
      event.preventDefault()
      broke(new Error(event.message))
    })
    const tell = (request: DecodeRequest, owned: ArrayBuffer[] = []) => worker.postMessage(request, owned)
    tell({ kind: 'codecs', addresses })
    return {
      post: (images, owned) => tell({ kind: 'block', images }, owned),
      terminate: () => worker.terminate(),
    }
  })
}
