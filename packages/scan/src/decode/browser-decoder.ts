import type { CompressedImage, Decoder } from './decoder.js'
import { type PipelineImage, pipelineFiles, pixelsOf, withTimeOut } from './itk.js'

export interface BrowserDecoderOptions {
  /**
   * Absolute address of the folder that serves `read-image-dicom-file-series.js` and
   * `read-image-dicom-file-series.wasm.zst` from `@itk-wasm/dicom/dist/pipelines`. Never a foreign server.
   */
  readonly assetsBaseUrl: string
}

/**
 * Decodes JPEG, JPEG-LS and JPEG 2000 with itk-wasm in the calling thread: call it from a worker.
 * The code is fetched when the first compressed image is met.
 */
export function browserDecoder({ assetsBaseUrl }: BrowserDecoderOptions): Decoder {
  return {
    blockSize: 8,
    decode: (images, signal) => withTimeOut(decodeBlock(images, assetsBaseUrl, signal), images),
  }
}

async function decodeBlock(images: readonly CompressedImage[], assetsBaseUrl: string, signal?: AbortSignal) {
  const { readImageDicomFileSeriesWorkerFunction, setPipelinesBaseUrl } = await import('@itk-wasm/dicom')
  signal?.throwIfAborted()
  setPipelinesBaseUrl(assetsBaseUrl.replace(/\/$/, ''))
  // `false` keeps the work in this thread. The published type does not know it, the function does.
  const options = { webWorker: false } as never
  const result = await readImageDicomFileSeriesWorkerFunction(pipelineFiles(images), true, options)
  return pixelsOf(result.outputImage as PipelineImage, images)
}
