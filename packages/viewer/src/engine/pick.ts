import { inputsFromFiles, type ScanInput } from '@alveometer/scan'
import type { Progress, ScanSource } from './protocol.js'

export interface PickOptions {
  readonly signal: AbortSignal
  readonly onProgress: (progress: Progress) => void
}

/** What was fetched last: choosing and opening are several requests for one address. */
let fetched: { readonly url: string; readonly file: File } | null = null

/** The files of a source, fetched where it is an address, and what to call them. */
export async function inputsOf(
  source: ScanSource,
  options: PickOptions,
): Promise<{ inputs: ScanInput[]; name: string }> {
  if (source.kind === 'url') {
    if (fetched?.url !== source.url) fetched = { url: source.url, file: await download(source.url, options) }
    return { inputs: inputsFromFiles([fetched.file]), name: fetched.file.name }
  }
  const inputs = inputsFromFiles(source.files).map((input, n) => {
    const path = source.paths?.[n]
    return path === undefined ? input : { ...input, name: path }
  })
  const first = inputs[0]?.name ?? ''
  const one = inputs.length === 1 || first.includes('/')
  return { inputs, name: one ? (first.split('/')[0] ?? '') : `${inputs.length} files` }
}

/**
 * Bytes are counted on their way into the browser's own store: unlike with a stream kept here, they are never all in
 * our memory.
 */
async function download(url: string, { signal, onProgress }: PickOptions): Promise<File> {
  const name = nameIn(url)
  const failed = (why: string, cause?: unknown): Error =>
    new Error(`${name} could not be fetched: ${why}. Check the address, or open the scan from a file.`, {
      cause,
    })
  onProgress({ stage: 'fetch', done: 0, total: 0 })
  let answered = false
  try {
    const response = await fetch(url, { signal })
    answered = true
    if (!response.ok || response.body === null) throw failed(`the answer was ${response.status}`)
    const total = Number(response.headers.get('Content-Length') ?? 0)
    let done = 0
    const counted = new TransformStream<Uint8Array, Uint8Array>({
      transform(chunk, controller) {
        done += chunk.length
        onProgress({ stage: 'fetch', done, total: Math.max(done, total) })
        controller.enqueue(chunk)
      },
    })
    return new File([await new Response(response.body.pipeThrough(counted)).blob()], name)
  } catch (cause) {
    signal.throwIfAborted()
    // What fetch and streams throw is a TypeError in the browser's own words.
    if (!(cause instanceof TypeError)) throw cause
    throw failed(answered ? 'the connection broke off' : 'there was no answer', cause)
  }
}

/** The last part of the path, as a person would call the file. */
function nameIn(url: string): string {
  const last = new URL(url).pathname.split('/').pop() || url
  try {
    return decodeURIComponent(last)
  } catch {
    return last
  }
}
