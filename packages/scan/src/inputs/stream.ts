import { ScanError } from '../report/index.js'
import { inflateStream } from './inflate-stream.js'
import { inputFromBytes, type ScanInput } from './input.js'
import { joinBytes } from './join.js'

export interface StreamOptions {
  /** Stops reading; the promise then rejects with the signal's reason. */
  readonly signal?: AbortSignal
  /** Called with the bytes that have come, and how many there will be, 0 where that is not known. */
  readonly onBytes?: (done: number, total: number) => void
  /** Refused beyond this many bytes. Default: 4 GiB. */
  readonly mostBytes?: number
}

const MOST_BYTES = 2 ** 32

/**
 * A file or zip that comes as a stream. Read to its end and kept in memory, for headers and pixels are two passes.
 * @throws ScanError `fetch-failed` when the stream breaks off or is too long; the signal's reason when aborted.
 */
export async function inputFromStream(
  name: string,
  stream: ReadableStream<Uint8Array>,
  { signal, onBytes, mostBytes = MOST_BYTES }: StreamOptions = {},
  total = 0,
): Promise<ScanInput> {
  const reader = stream.getReader()
  const stop = () => void reader.cancel(signal?.reason).catch(() => {})
  signal?.addEventListener('abort', stop, { once: true })
  const parts: Uint8Array[] = []
  let done = 0
  try {
    for (;;) {
      signal?.throwIfAborted()
      const next = await reader.read()
      signal?.throwIfAborted()
      if (next.done) break
      parts.push(next.value)
      done += next.value.length
      if (done > mostBytes) {
        stop()
        throw failed(name, `it is longer than ${Math.floor(mostBytes / 2 ** 20)} MB`)
      }
      onBytes?.(done, total)
    }
  } catch (cause) {
    if (signal?.aborted || cause instanceof ScanError) throw cause
    throw failed(name, `it broke off after ${done} bytes`, cause)
  } finally {
    signal?.removeEventListener('abort', stop)
  }
  return { ...inputFromBytes(name, joinBytes(parts)), inflate: inflateStream }
}

/**
 * A file or zip at an address. What may be fetched from where is up to the page and its policy.
 * @throws ScanError `fetch-failed` naming the file and what to do; the signal's reason when aborted.
 */
export async function inputsFromUrl(url: string, options: StreamOptions = {}): Promise<ScanInput[]> {
  const name = nameIn(url)
  const { signal } = options
  let response: Response
  try {
    response = await fetch(url, signal ? { signal } : {})
  } catch (cause) {
    signal?.throwIfAborted()
    throw failed(name, 'there was no answer', cause)
  }
  if (!response.ok || !response.body) throw failed(name, `the answer was ${response.status}`)
  const total = Number(response.headers.get('Content-Length') ?? 0)
  return [await inputFromStream(name, response.body, options, total)]
}

/** The last part of the path, as a person would call the file. */
function nameIn(url: string): string {
  const path = url.split(/[?#]/, 1)[0] ?? ''
  const last = path.split('/').pop() ?? ''
  try {
    return decodeURIComponent(last) || url
  } catch {
    return last || url
  }
}

const failed = (name: string, why: string, cause?: unknown) =>
  new ScanError(
    'fetch-failed',
    `${name} could not be fetched: ${why}. Check the address, or open the scan from a file.`,
    [],
    cause,
  )
