import { createServer, type Server } from 'node:http'
import { zipSeries } from '@alveometer/phantom'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { inputFromStream, inputsFromUrl, loadScan } from '../src/index.js'
import { chiralFiles, expectSameAsPhantom } from './chiral.js'

const zip = zipSeries(chiralFiles())
const pieces = (bytes: Uint8Array, size: number) => {
  let at = 0
  return new ReadableStream<Uint8Array>({
    pull(controller) {
      if (at >= bytes.length) controller.close()
      else controller.enqueue(bytes.subarray(at, at + size))
      at += size
    },
  })
}

describe('a scan that comes as a stream', () => {
  it('in small pieces: the same volume', async () => {
    const seen: number[] = []
    const input = await inputFromStream('scan.zip', pieces(zip, 1000), { onBytes: (done) => seen.push(done) })
    expectSameAsPhantom((await loadScan([input])).volume)
    expect(seen.at(-1)).toBe(zip.length)
  })

  it('that breaks off: named, with what came', async () => {
    let sent = false
    const broken = new ReadableStream<Uint8Array>({
      pull(controller) {
        if (sent) controller.error(new Error('reset'))
        else controller.enqueue(new Uint8Array(100))
        sent = true
      },
    })
    await expect(inputFromStream('scan.zip', broken)).rejects.toMatchObject({
      code: 'fetch-failed',
      message: expect.stringContaining('scan.zip could not be fetched: it broke off after 100 bytes'),
    })
  })

  it('longer than allowed: refused and cancelled', async () => {
    let cancelled = false
    const endless = new ReadableStream<Uint8Array>({
      pull: (controller) => controller.enqueue(new Uint8Array(2 ** 20)),
      cancel: () => {
        cancelled = true
      },
    })
    await expect(inputFromStream('scan.zip', endless, { mostBytes: 3 * 2 ** 20 })).rejects.toMatchObject({
      code: 'fetch-failed',
    })
    expect(cancelled).toBe(true)
  })

  it('aborted while nothing comes: rejects at once and lets go of the stream', async () => {
    let cancelled = false
    const silent = new ReadableStream<Uint8Array>({
      cancel: () => {
        cancelled = true
      },
    })
    const controller = new AbortController()
    const waiting = inputFromStream('scan.zip', silent, { signal: controller.signal })
    controller.abort()
    await expect(waiting).rejects.toMatchObject({ name: 'AbortError' })
    expect(cancelled).toBe(true)
  })
})

describe('a scan at an address', () => {
  let server: Server
  let base = ''
  beforeAll(async () => {
    server = createServer((request, response) => {
      if (request.url?.startsWith('/sc%C3%A4n.zip')) response.end(zip)
      else {
        response.statusCode = 404
        response.end('no')
      }
    })
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
    const address = server.address()
    base = `http://127.0.0.1:${typeof address === 'object' ? address?.port : ''}`
  })
  afterAll(() => server.close())

  it('is fetched and named as its file', async () => {
    const [input] = await inputsFromUrl(`${base}/sc%C3%A4n.zip?token=1`)
    expect(input?.name).toBe('scän.zip')
    expectSameAsPhantom((await loadScan(input ? [input] : [])).volume)
  })

  it('that is not there, or where nobody answers: one plain sentence', async () => {
    await expect(inputsFromUrl(`${base}/other.zip`)).rejects.toThrow(
      'other.zip could not be fetched: the answer was 404. Check the address, or open the scan from a file.',
    )
    await expect(inputsFromUrl('http://127.0.0.1:9/scan.zip')).rejects.toMatchObject({ code: 'fetch-failed' })
  })
})
