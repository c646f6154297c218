// A static server for the built page: nothing but files, under the policy the page promises to keep.
import { createReadStream } from 'node:fs'
import { realpath, stat } from 'node:fs/promises'
import { createServer } from 'node:http'
import { extname, join, sep } from 'node:path'
import { pipeline } from 'node:stream/promises'

/** Nothing inline, nothing evaluated, nothing from another origin. `data:` to connect: the zstd decoder fetches one. */
export const contentSecurityPolicy = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self'",
  "connect-src 'self' data:",
  "img-src 'self' data: blob:",
  "style-src 'self'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ')

// On every response, errors and worker scripts included: a worker obeys the headers that came with its own file.
const headers = {
  'Content-Security-Policy': contentSecurityPolicy,
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Embedder-Policy': 'require-corp',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cache-Control': 'no-cache',
}

/** @type {Readonly<Record<string, string>>} */
const types = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.map': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.zip': 'application/zip',
  '.zst': 'application/zstd',
  '.dcm': 'application/dicom',
  '.stl': 'model/stl',
}

/**
 * The file a request path names inside the folder, or undefined: no way out of it, no dot files.
 * @param {string} folder
 * @param {string} path percent-encoded, starting with /
 */
async function findFile(folder, path) {
  let names
  try {
    names = decodeURIComponent(path).split('/').filter(Boolean)
  } catch {
    return undefined
  }
  if (names.some((name) => name.startsWith('.') || /[\\\0:]/.test(name))) return undefined
  try {
    const base = await realpath(folder)
    let file = await realpath(join(base, ...names))
    if ((await stat(file)).isDirectory()) file = await realpath(join(file, 'index.html'))
    // Compared after links are followed, so that a link cannot lead outside either.
    if (!file.startsWith(base + sep)) return undefined
    const { size, mtimeMs } = await stat(file)
    return { file, size, tag: `"${size.toString(36)}-${Math.round(mtimeMs).toString(36)}"` }
  } catch {
    return undefined
  }
}

/**
 * @param {{ root: string, sample?: string }} folders
 * @returns {import('node:http').RequestListener}
 */
const answer = (folders) => async (request, response) => {
  const plain = (/** @type {number} */ status, /** @type {string} */ text) =>
    response.writeHead(status, { ...headers, 'Content-Type': 'text/plain; charset=utf-8' }).end(`${text}\n`)
  if (request.method !== 'GET' && request.method !== 'HEAD') return plain(405, 'Only GET and HEAD.')
  const path = (request.url ?? '/').split(/[?#]/, 1)[0] ?? '/'
  const inSample = path.startsWith('/sample/')
  const folder = inSample ? folders.sample : folders.root
  const found = folder && (await findFile(folder, inSample ? path.slice('/sample'.length) : path))
  if (!found) return plain(404, 'There is no such file.')
  if (request.headers['if-none-match'] === found.tag) {
    return response.writeHead(304, { ...headers, ETag: found.tag }).end()
  }
  response.writeHead(200, {
    ...headers,
    'Content-Type': types[extname(found.file).toLowerCase()] ?? 'application/octet-stream',
    'Content-Length': found.size,
    ETag: found.tag,
  })
  if (request.method === 'HEAD') return response.end()
  // A visitor who leaves in the middle of a file is not an error.
  await pipeline(createReadStream(found.file), response).catch(() => response.destroy())
}

/**
 * Listens at the port; a taken one is stepped over, up to 50 further ones.
 * @param {import('node:http').Server} server
 * @param {number} port 0 for any free one
 * @returns {Promise<number>} the port taken
 */
const listen = (server, port, host, triesLeft = 50) =>
  new Promise((done, fail) => {
    server.once('error', (/** @type {NodeJS.ErrnoException} */ error) => {
      const isTaken = error.code === 'EADDRINUSE' || error.code === 'EACCES'
      if (!isTaken || triesLeft === 0 || port >= 65_535) return fail(error)
      listen(server, port + 1, host, triesLeft - 1).then(done, fail)
    })
    server.listen(port, host, () => {
      server.removeAllListeners('error')
      const address = server.address()
      done(address !== null && typeof address === 'object' ? address.port : port)
    })
  })

/**
 * Serves the folder `root` at / and the folder `sample` at /sample/, on this machine only unless a host is given.
 * @param {{ root: string, sample?: string, port?: number, host?: string }} options port: the first to try, 0 for any free one
 * @returns {Promise<{ url: string, close: () => Promise<void> }>} url ends with /
 */
export async function startServer({ root, sample, port = 4173, host = '127.0.0.1' }) {
  const server = createServer(answer({ root, sample }))
  const taken = await listen(server, port, host)
  const name = host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host
  return {
    url: `http://${name}:${taken}/`,
    close: () =>
      new Promise((done) => {
        server.close(() => done())
        server.closeAllConnections()
      }),
  }
}
