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

/** Bytes are counted on their way into the browser's own store; they are never all in our memory. */
async function download(url: string, { signal, onProgress }: PickOptions): Promise<File> {
  const name = decodeURIComponent(new URL(url).pathname.split('/').pop() ?? url)
  onProgress({ stage: 'fetch', done: 0, total: 0 })
  const response = await fetch(url, { signal })
  if (!response.ok || response.body === null)
    throw new Error(`${name} could not be fetched (${response.status}): open a scan of your own instead.`)
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
}
