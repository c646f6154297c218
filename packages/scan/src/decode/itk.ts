import type { Frame } from '../grey/index.js'
import type { CompressedImage } from './decoder.js'

/** Files as the pipeline takes them. Names are ours and plain; the original ones never reach its file system. */
export const pipelineFiles = (images: readonly CompressedImage[]) =>
  images.map(({ dicom }, i) => ({ path: `${String(i + 1).padStart(4, '0')}.dcm`, data: dicom }))

/** What the pipeline returns, as far as we look at it. */
export interface PipelineImage {
  readonly data: unknown
  readonly size: readonly number[]
}

/**
 * The pixels of a decoded block, checked for number and type.
 * @throws RangeError when they are not what the headers promise.
 */
export function pixelsOf(
  image: PipelineImage | undefined,
  images: readonly CompressedImage[],
): Frame['pixels'] {
  const data = image?.data
  const expected = images.reduce((sum, { layout }) => sum + layout.rows * layout.columns, 0)
  if (!isPixels(data)) throw new RangeError('the decoder returned no image')
  if (data.length !== expected)
    throw new RangeError(`the decoder returned ${data.length} of ${expected} pixels`)
  return data
}

const isPixels = (data: unknown): data is Frame['pixels'] =>
  data instanceof Uint8Array ||
  data instanceof Uint16Array ||
  data instanceof Int16Array ||
  data instanceof Int32Array

/**
 * Rejects when the work takes longer than a slow machine needs, so that a decoder that never answers (a blocked
 * download) is reported. Code that is busy inside WebAssembly can only be stopped by ending its worker.
 */
export async function withTimeOut<T>(work: Promise<T>, images: readonly CompressedImage[]): Promise<T> {
  const seconds = 60 + 5 * images.length
  let timer: ReturnType<typeof setTimeout> | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`no answer from the decoder in ${seconds} s`)), 1000 * seconds)
  })
  try {
    return await Promise.race([work, late])
  } finally {
    clearTimeout(timer)
  }
}
