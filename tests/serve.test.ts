import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { startServer } from '../scripts/serve.mjs'

let folder = ''
let server: Awaited<ReturnType<typeof startServer>>

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'alveometer-serve-'))
  const files = {
    'secret.txt': 'secret',
    'page/index.html': '<!doctype html>',
    'page/a.js': 'export {}',
    'page/.stamp': 'secret',
    'page/itk/p.wasm.zst': 'zst',
    'sample/upper-front.zip': 'zip',
  }
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(join(folder, path, '..'), { recursive: true })
    writeFileSync(join(folder, path), text)
  }
  symlinkSync(join(folder, 'secret.txt'), join(folder, 'page/link.txt'))
  server = await startServer({ root: join(folder, 'page'), sample: join(folder, 'sample'), port: 0 })
})

afterAll(async () => {
  await server.close()
  rmSync(folder, { recursive: true, force: true })
})

/** The raw answer to a path sent exactly as written; fetch would tidy it up first. */
const ask = (path: string): Promise<string> =>
  new Promise((done, fail) => {
    let text = ''
    const socket = connect(Number(new URL(server.url).port), '127.0.0.1')
    socket.on('data', (part) => {
      text += part
    })
    socket.on('close', () => done(text)).on('error', fail)
    socket.write(`GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`)
  })

test.each([
  ['/', 'text/html; charset=utf-8'],
  ['/a.js?x=1', 'text/javascript; charset=utf-8'],
  ['/itk/p.wasm.zst', 'application/zstd'],
  ['/sample/upper-front.zip', 'application/zip'],
])('%s is served as %s', async (path, type) => {
  const answer = await fetch(new URL(path, server.url))
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-type')).toBe(type)
})

test.each(['/', '/a.js', '/sample/upper-front.zip', '/nothing'])(
  '%s comes under the strict policy',
  async (path) => {
    const { headers } = await fetch(new URL(path, server.url))
    const policy = headers.get('content-security-policy') ?? ''
    expect(policy).toContain("default-src 'self'")
    expect(policy).not.toMatch(/unsafe-inline|'unsafe-eval'|https?:|\*/)
    expect(headers.get('cross-origin-opener-policy')).toBe('same-origin')
    expect(headers.get('cross-origin-embedder-policy')).toBe('require-corp')
    expect(headers.get('x-content-type-options')).toBe('nosniff')
  },
)

test.each([
  '/../secret.txt',
  '/..%2fsecret.txt',
  '/%2e%2e/secret.txt',
  '/sample/../../secret.txt',
  '/sample/..%5c..%5csecret.txt',
  '/link.txt',
  '/.stamp',
  '/%00',
  '/%zz',
  '/itk',
])('%s leads nowhere', async (path) => {
  const answer = await ask(path)
  expect(answer).toMatch(/^HTTP\/1\.1 404 /)
  expect(answer).not.toContain('secret')
})

test('a taken port is stepped over', async () => {
  const taken = Number(new URL(server.url).port)
  const second = await startServer({ root: join(folder, 'page'), port: taken })
  expect(Number(new URL(second.url).port)).toBeGreaterThan(taken)
  expect((await fetch(second.url)).status).toBe(200)
  await second.close()
})
