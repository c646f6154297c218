// `npm start`: from a bare clone to the page in the browser.
import { spawn } from 'node:child_process'
import process from 'node:process'
import { ensurePage, pageFolder } from './page.mjs'
import { ensureSample, sampleFolder } from './sample.mjs'
import { startServer } from './serve.mjs'
import { setUp } from './setup.mjs'
import { runMain, Trouble, tsc } from './workspace.mjs'

/** The first port to try, from PORT where it is set. */
function firstPort() {
  const port = Number(process.env.PORT || 4173)
  if (Number.isInteger(port) && port >= 0 && port <= 65_535) return port
  throw new Trouble(`PORT is "${process.env.PORT}", which is not a port number (0 to 65535).`)
}

/** Opens the address in the user's own browser, where somebody sits in front of a screen. */
function openInBrowser(/** @type {string} */ url) {
  if (!process.stdout.isTTY || process.env.CI || process.env.ALVEOMETER_NO_OPEN === '1') return
  const [command, ...args] =
    process.platform === 'darwin'
      ? ['open', url]
      : process.platform === 'win32'
        ? ['cmd', '/c', 'start', '', url]
        : ['xdg-open', url]
  const child = spawn(command, args, { stdio: 'ignore', detached: true })
  // No opener on this machine: the printed address is enough.
  child.on('error', () => {})
  child.unref()
}

await runMain(async () => {
  const port = firstPort()
  await setUp()
  if ((await tsc(['-b'])) !== 0) throw new Trouble('The packages do not compile; the reason stands above.')
  await ensureSample()
  await ensurePage()
  const server = await startServer({
    root: pageFolder,
    sample: sampleFolder,
    port,
    host: process.env.HOST || '127.0.0.1',
  })
  console.log(`\nAlveometer is at ${server.url}`)
  console.log(
    'A planning and teaching aid, not a medical device. Everything stays on this machine. Ctrl-C ends it.',
  )
  openInBrowser(server.url)
  const end = () => server.close().then(() => process.exit(0))
  process.once('SIGINT', end)
  process.once('SIGTERM', end)
})
