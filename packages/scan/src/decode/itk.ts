import type { Frame } from '../grey/index.js'
import { readCodestream } from './codestream.js'
import type { CompressedImage } from './decoder.js'
import { type StoredBits, storedBits, wrapImage } from './wrap.js'

/** A file as the pipeline takes it. */
export interface PipelineFile {
  readonly path: string
  readonly data: Uint8Array
}

/** What the pipeline returns, as far as we look at it. */
export interface PipelineResult {
  readonly data: unknown
  /** What its libraries had to say. */
  readonly stderr: string
}

export const PIPELINE = 'read-image-dicom-file-series'

/** One image and a list of the files; the files are read in the order given. */
export const pipelineArguments = (files: readonly PipelineFile[]): string[] => [
  ...['0', '1', '--memory-io', '--single-sorted-series', '--input-images'],
  ...files.map((file) => file.path),
]

/** The JPEG library goes on with a damaged stream and only says so; the picture is wrong from there on. */
const DAMAGE = /corrupt|premature|inconsistent/i

/**
 * The pixels of images with itk-wasm, as whole words.
 * @throws RangeError when they are not what the headers promise or the codec found the stream damaged; whatever the
 *   pipeline throws, which may be a bare number.
 */
export async function decodeWithItk(
  images: readonly CompressedImage[],
  run: (files: readonly PipelineFile[]) => Promise<PipelineResult>,
): Promise<Frame['pixels']> {
  const parts: Frame['pixels'][] = []
  for (const { images: alike, bits } of byBits(images)) {
    // Names are ours and plain; the original ones never reach its file system.
    const files = alike.map((image, i) => ({
      path: `${String(i + 1).padStart(4, '0')}.dcm`,
      data: wrapImage(image, bits),
    }))
    const { data, stderr } = await run(files)
    if (DAMAGE.test(stderr)) throw new RangeError(stderr)
    parts.push(pixelsOf(data, alike))
  }
  return parts.length === 1 ? (parts[0] as Frame['pixels']) : joined(parts)
}

/** The pipeline takes one kind of pixel from the first file for all of them: neighbours of the same kind go together. */
function byBits(images: readonly CompressedImage[]) {
  const runs: { images: CompressedImage[]; bits: StoredBits }[] = []
  for (const image of images) {
    const stream = readCodestream(image.codestream)
    if (!stream) throw new RangeError(`${image.slice} is no JPEG codestream`)
    const bits = storedBits(image, stream)
    const last = runs.at(-1)
    if (last && JSON.stringify(last.bits) === JSON.stringify(bits)) last.images.push(image)
    else runs.push({ images: [image], bits })
  }
  return runs
}

function pixelsOf(data: unknown, images: readonly CompressedImage[]): Frame['pixels'] {
  const expected = images.reduce((sum, { layout }) => sum + layout.rows * layout.columns, 0)
  const pixels = data instanceof Int8Array ? Int16Array.from(data) : data
  if (!isPixels(pixels)) throw new RangeError('the decoder returned no image')
  if (pixels.length !== expected)
    throw new RangeError(`the decoder returned ${pixels.length} of ${expected} pixels`)
  return pixels
}

const isPixels = (data: unknown): data is Frame['pixels'] =>
  data instanceof Uint8Array ||
  data instanceof Uint16Array ||
  data instanceof Int16Array ||
  data instanceof Int32Array

function joined(parts: readonly Frame['pixels'][]): Int32Array {
  const all = new Int32Array(parts.reduce((sum, part) => sum + part.length, 0))
  let filled = 0
  for (const part of parts) {
    all.set(part, filled)
    filled += part.length
  }
  return all
}
