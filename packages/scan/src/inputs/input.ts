/** Bytes with a name: a dropped file, a file on disk, an entry of a zip. Read lazily, in parts. */
export interface ScanInput {
  /** As a person would look for it: with its folders, where known. Only used in messages. */
  readonly name: string
  /** Length in bytes. */
  readonly size: number
  /** Bytes from `start` (default 0) up to but without `end` (default: all), clipped to the size. */
  read(start?: number, end?: number, signal?: AbortSignal): Promise<Uint8Array>
  /**
   * Fills `target` with the bytes from `start` on, where that spares a copy; answers how many there were. For the caller
   * to use only when it is given.
   */
  readInto?(target: Uint8Array, start: number, signal?: AbortSignal): Promise<number>
  /** The same bytes as the browser has them, where it does. */
  readonly blob?: Blob
  /** The platform's own way to unpack the entries of a zip, where it is quicker than ours. */
  readonly inflate?: Inflate
}

/**
 * Unpacks raw DEFLATE bytes that should come to `size` bytes. Rejects on broken bytes and on more than `size`; it may
 * be stricter than ours, which has the last word.
 */
export type Inflate = (packed: Uint8Array, size: number) => Promise<Uint8Array>

/** An input that is already in memory. */
export const inputFromBytes = (name: string, bytes: Uint8Array): ScanInput => ({
  name,
  size: bytes.length,
  read: async (start = 0, end = bytes.length) => bytes.subarray(start, Math.min(end, bytes.length)),
})
