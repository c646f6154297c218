/** How far the loader is: files in the first stage, slices in the second. */
export interface ScanProgress {
  readonly stage: 'headers' | 'pixels'
  readonly done: number
  readonly total: number
}

export interface ProgressOptions {
  /** Stops the work at the next file; the promise then rejects with the signal's reason (an AbortError). */
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: ScanProgress) => void
}
