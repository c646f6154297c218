import type { EngineRequest } from './protocol.js'

/** Handing over one file takes the page a fifth of a millisecond; so many go at once, with a turn for others between. */
const FILES_AT_ONCE = 16

/** Posts a request; the files of a large pick go ahead of it, a few at a time, as long as somebody waits for it. */
export async function send(worker: Worker, request: EngineRequest, wanted: () => boolean): Promise<void> {
  const post = (message: EngineRequest) => worker.postMessage(message)
  if (!('source' in request) || request.source.kind !== 'files') return post(request)
  const { source, id } = request
  const { files } = source
  if (files.length <= FILES_AT_ONCE) return post(request)
  for (let n = 0; n < files.length; n += FILES_AT_ONCE) {
    post({ op: 'files', id, files: files.slice(n, n + FILES_AT_ONCE) })
    await new Promise((done) => setTimeout(done))
    // Told once more: the files that came after the first time are to be forgotten too.
    if (!wanted()) return post({ op: 'abort', id })
  }
  post({ ...request, source: { ...source, files: [] } })
}
