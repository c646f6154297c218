import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type { CompressedImage, Decoder } from '../decode/index.js'
import { type PipelineImage, pipelineFiles, pixelsOf, withTimeOut } from '../decode/index.js'

/** Decodes JPEG, JPEG-LS and JPEG 2000 with itk-wasm. Its code is loaded when the first compressed image is met. */
export const nodeDecoder = (): Decoder => ({
  // Every call unpacks the WebAssembly anew (about half a second), so blocks are large.
  blockSize: 32,
  decode: (images, signal) => withTimeOut(decodeBlock(images, signal), images),
})

async function decodeBlock(images: readonly CompressedImage[], signal?: AbortSignal) {
  const { InterfaceTypes, runPipelineNode } = await import('itk-wasm')
  signal?.throwIfAborted()
  const entry = createRequire(import.meta.url).resolve('@itk-wasm/dicom')
  const pipeline = join(dirname(entry), 'pipelines', 'read-image-dicom-file-series')
  const files = pipelineFiles(images)
  const names = files.map((f) => f.path)
  const { outputs } = await withoutStdout(() =>
    runPipelineNode(
      pipeline,
      ['0', '1', '--memory-io', '--single-sorted-series', '--input-images', ...names],
      [{ type: InterfaceTypes.Image }, { type: InterfaceTypes.JsonCompatible }],
      files.map((data) => ({ type: InterfaceTypes.BinaryFile, data })),
    ),
  )
  return pixelsOf(outputs[0]?.data as PipelineImage | undefined, images)
}

let running = 0
const log = console.log

/** The pipeline reports its failures with console.log. On a command line that is where the answer goes. */
async function withoutStdout<T>(work: () => Promise<T>): Promise<T> {
  running++
  console.log = console.error
  try {
    return await work()
  } finally {
    running--
    if (running === 0) console.log = log
  }
}
