// A page in a browser of its own, and the memory of the process that runs it.
import { readFileSync } from 'node:fs'
import { chromium } from 'playwright'

/** @param {{ findBrowser: () => string | undefined, browserArguments: readonly string[] }} browser scripts/browser.mjs */
export async function openFreshPage({ findBrowser, browserArguments }, url) {
  const executablePath = findBrowser()
  const instance = await chromium.launch({
    args: [...browserArguments],
    ...(executablePath ? { executablePath } : {}),
  })
  const page = await instance.newPage()
  await page.goto(url)
  await page.waitForFunction(() => window.bench !== undefined)
  const session = await instance.newBrowserCDPSession()
  return {
    page,
    /** MB held by the page's process: now, and at most so far. Null where the system does not tell. */
    async memory() {
      const { processInfo } = await session.send('SystemInfo.getProcessInfo')
      const renderers = processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => statusOf(id))
      // A browser keeps a spare one; the one with the page in it is the larger.
      return renderers.reduce((a, b) => ((b?.peakMb ?? 0) > (a?.peakMb ?? 0) ? b : a), null)
    },
    close: () => instance.close(),
  }
}

function statusOf(pid) {
  try {
    const status = readFileSync(`/proc/${pid}/status`, 'utf8')
    const megabytes = (field) =>
      (1.024 * Number(new RegExp(`${field}:\\s+(\\d+) kB`).exec(status)?.[1])) / 1000
    return { nowMb: megabytes('VmRSS'), peakMb: megabytes('VmHWM') }
  } catch {
    return null
  }
}
