/** The code of a codec could not be loaded: not served, or blocked. Says nothing about the images. */
export class CodecMissing extends Error {
  override readonly name = 'CodecMissing'
}

/** No worker could be started here. */
export class WorkerUnavailable extends Error {
  override readonly name = 'WorkerUnavailable'
}

/** A decoder that did not answer in its time. */
export class NoAnswer extends Error {
  override readonly name = 'NoAnswer'
}
