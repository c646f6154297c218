import type { CompressedImage } from './decoder.js'

/** The module of `@cornerstonejs/codec-openjph` as far as it is used; it brings no types of its own. */
export interface OpenJph {
  readonly HTJ2KDecoder: new () => OpenJphDecoder
}

interface OpenJphDecoder {
  /** Room for the compressed bytes, in the memory of the module. */
  getEncodedBuffer(length: number): Uint8Array
  decode(): void
  /** Little endian words, in the memory of the module. */
  getDecodedBuffer(): Uint8Array
  getFrameInfo(): {
    readonly width: number
    readonly height: number
    readonly bitsPerSample: number
    readonly componentCount: number
    readonly isSigned: boolean
  }
  getIsHeaderValid(): boolean
  getLastErrorMessage(): string
  /** Frees its memory. */
  delete(): void
}

/** What the module exports: makes an instance. */
export type OpenJphFactory = (options: {
  readonly locateFile?: (name: string) => string
  readonly print: (text: string) => void
  readonly printErr: (text: string) => void
}) => Promise<OpenJph>

/**
 * The pixels of High-Throughput JPEG 2000 images (ISO 15444-15), as whole words.
 * @throws RangeError when an image cannot be decoded or is not what its header promises.
 */
export function decodeHtj2k(images: readonly CompressedImage[], { HTJ2KDecoder }: OpenJph): Uint16Array {
  const sizes = images.map(({ layout }) => layout.rows * layout.columns)
  const pixels = new Uint16Array(sizes.reduce((sum, size) => sum + size, 0))
  let filled = 0
  images.forEach((image, i) => {
    const decoder = new HTJ2KDecoder()
    try {
      pixels.set(decodeOne(image, decoder), filled)
    } finally {
      decoder.delete()
    }
    filled += sizes[i] as number
  })
  return pixels
}

/** It does not throw: a stream it cannot read leaves a message and a buffer of whatever was there before. */
function decodeOne({ codestream, layout, slice }: CompressedImage, decoder: OpenJphDecoder) {
  decoder.getEncodedBuffer(codestream.length).set(codestream)
  decoder.decode()
  const fault = decoder.getLastErrorMessage()
  const { width, height, bitsPerSample, componentCount, isSigned } = decoder.getFrameInfo()
  if (fault || !decoder.getIsHeaderValid()) throw new RangeError(`${slice}: ${fault}`)
  if (width !== layout.columns || height !== layout.rows || componentCount !== 1 || bitsPerSample > 16)
    throw new RangeError(`${slice}: ${width} x ${height} x ${componentCount} of ${bitsPerSample} bits`)
  const bytes = decoder.getDecodedBuffer()
  if (bitsPerSample <= 8) return isSigned ? Int8Array.from(bytes, (byte) => (byte << 24) >> 24) : bytes
  return new Uint16Array(bytes.slice().buffer, 0, width * height)
}
