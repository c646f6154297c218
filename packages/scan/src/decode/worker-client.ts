import type { Frame } from '../grey/index.js'
import type { CompressedImage } from './decoder.js'
import { CodecMissing, WorkerUnavailable } from './failures.js'
import type { DecodeWorker } from './pool.js'
import type { DecodeReply } from './worker-messages.js'

/** A worker of a platform, reduced to what is needed of it. */
export interface WorkerPort {
  /** `owned` is handed over with the images instead of copied. */
  post(images: readonly CompressedImage[], owned: ArrayBuffer[]): void
  terminate(): void
  /** Called before and after each block. */
  busy?(is: boolean): void
}

interface Waiting {
  resolve(pixels: Frame['pixels']): void
  reject(cause: unknown): void
}

/**
 * This side of a decode worker.
 * @param open starts it and passes on what it says, and its errors: those before "ready" mean that it cannot run.
 */
export function workerClient(
  open: (heard: (reply: DecodeReply) => void, broke: (cause: unknown) => void) => WorkerPort,
): DecodeWorker {
  let ready = false
  let ended: Error | null = null
  let waiting: Waiting | null = null
  const settle = (use: (one: Waiting) => void) => {
    const one = waiting
    waiting = null
    if (one) use(one)
    port.busy?.(false)
  }
  const end = (cause: Error) => {
    ended ??= cause
    settle((one) => one.reject(cause))
  }
  const port = open(
    (reply) => {
      if (reply.kind === 'ready') ready = true
      else if (reply.kind === 'pixels') settle((one) => one.resolve(reply.pixels))
      else if (reply.kind === 'no-codec') settle((one) => one.reject(new CodecMissing(reply.message)))
      else settle((one) => one.reject(new Error(reply.message)))
    },
    (cause) =>
      end(ready ? new Error('a decode worker broke', { cause }) : new WorkerUnavailable('', { cause })),
  )
  return {
    decode: (images) =>
      new Promise((resolve, reject) => {
        if (ended) {
          reject(ended)
          return
        }
        waiting = { resolve, reject }
        port.busy?.(true)
        // Exact copies: a view would drag along all of the memory it looks at, which may be a whole file.
        const copies = images.map((image) => ({ ...image, codestream: new Uint8Array(image.codestream) }))
        const owned = copies.map(({ codestream }) => codestream.buffer)
        port.post(copies, owned)
      }),
    terminate: () => {
      port.terminate()
      end(new Error('the decode worker was ended'))
    },
  }
}
