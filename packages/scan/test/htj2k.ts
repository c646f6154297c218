import { createRequire } from 'node:module'

/** The encoder that comes with the decoder; OpenJPEG can only decode this kind of codestream. */
interface Encoder {
  getDecodedBuffer(info: object): Uint8Array
  getEncodedBuffer(): Uint8Array
  setQuality(reversible: boolean, step: number): void
  setProgressionOrder(order: number): void
  encode(): void
  delete(): void
}

const make = createRequire(import.meta.url)('@cornerstonejs/codec-openjph/wasmjs')
const { HTJ2KEncoder }: { HTJ2KEncoder: new () => Encoder } = await make({ print: () => {} })

export interface Htj2kOptions {
  readonly columns: number
  readonly rows: number
  /** Bits of a sample; default 16. */
  readonly bits?: number
  /** Default false. */
  readonly signed?: boolean
  /** Step of a lossy image, as a part of the range; default lossless. */
  readonly step?: number
  /** Order of the packets: resolution, position, component, layer. Default false. */
  readonly rpcl?: boolean
}

/** An image as a High-Throughput JPEG 2000 codestream. */
export function encodeHtj2k(values: ArrayLike<number>, options: Htj2kOptions): Uint8Array {
  const { columns, rows, bits = 16, signed = false, step = 0, rpcl = false } = options
  const words = bits <= 8 ? Uint8Array.from(values) : new Uint8Array(Uint16Array.from(values).buffer)
  const encoder = new HTJ2KEncoder()
  const info = { width: columns, height: rows, bitsPerSample: bits, componentCount: 1, isSigned: signed }
  encoder.getDecodedBuffer({ ...info, isUsingColorTransform: false }).set(words)
  encoder.setQuality(step === 0, step)
  if (rpcl) encoder.setProgressionOrder(2)
  encoder.encode()
  const codestream = Uint8Array.from(encoder.getEncodedBuffer())
  encoder.delete()
  return codestream
}
