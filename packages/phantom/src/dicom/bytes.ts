/** A growing byte buffer with one byte order. */
export class ByteWriter {
  readonly littleEndian: boolean
  #bytes = new Uint8Array(4096)
  #view = new DataView(this.#bytes.buffer)
  #length = 0

  constructor(littleEndian: boolean) {
    this.littleEndian = littleEndian
  }

  get length(): number {
    return this.#length
  }

  uint16(value: number): void {
    this.#reserve(2)
    this.#view.setUint16(this.#length, value, this.littleEndian)
    this.#length += 2
  }

  uint32(value: number): void {
    this.#reserve(4)
    this.#view.setUint32(this.#length, value, this.littleEndian)
    this.#length += 4
  }

  bytes(values: Uint8Array): void {
    this.#reserve(values.length)
    this.#bytes.set(values, this.#length)
    this.#length += values.length
  }

  /** A copy of what was written. */
  done(): Uint8Array {
    return this.#bytes.slice(0, this.#length)
  }

  #reserve(more: number): void {
    const needed = this.#length + more
    if (needed <= this.#bytes.length) return
    const bigger = new Uint8Array(Math.max(needed, 2 * this.#bytes.length))
    bigger.set(this.#bytes.subarray(0, this.#length))
    this.#bytes = bigger
    this.#view = new DataView(bigger.buffer)
  }
}
