import type { Assessment, Plan } from '@alveometer/core'
import { type Browser, chromium, type Page } from 'playwright'
import { browserArguments, findBrowser } from '../../scripts/browser.mjs'
import { ensurePage, pageFolder } from '../../scripts/page.mjs'
import { ensureSample, sampleFolder } from '../../scripts/sample.mjs'
import { startServer } from '../../scripts/serve.mjs'

/** The built page, served under its policy, in a browser. */
export interface Stand {
  readonly url: string
  readonly browser: Browser
  close(): Promise<void>
}

export async function openStand(): Promise<Stand> {
  await ensureSample()
  await ensurePage()
  const server = await startServer({ root: pageFolder, sample: sampleFolder, port: 0 })
  const executablePath = findBrowser()
  const browser = await chromium.launch({
    args: browserArguments,
    ...(executablePath ? { executablePath } : {}),
  })
  return {
    url: server.url,
    browser,
    close: async () => {
      await browser.close()
      await server.close()
    },
  }
}

/** What the page's root element lets a test see. */
interface Root extends HTMLElement {
  readonly assessment: Assessment | null
  readonly session: { readonly plan: Plan }
  settled(): Promise<Assessment | null>
}

/** Waits until the numbers on the page belong to the plan on the page and are as good as they will be. */
export const whenReady = async (page: Page): Promise<void> => {
  await page.waitForSelector('alv-chairside[data-state=ready]', { timeout: 100_000 })
  await page.evaluate(async () => {
    await document.querySelector<Root>('alv-chairside')?.settled()
  })
}

/** Waits until the numbers on the page belong to the plan on the page and are those of a mode. */
export const whenMode = async (page: Page, mode: 'fast' | 'refined'): Promise<void> => {
  await page.waitForSelector(`alv-chairside[data-state=ready][data-mode=${mode}]`, { timeout: 100_000 })
}

export const readPage = (page: Page): Promise<{ plan: Plan; assessment: Assessment }> =>
  page.evaluate(() => {
    const root = document.querySelector<Root>('alv-chairside')
    if (root?.assessment == null) throw new Error('the page has no assessment')
    return { plan: root.session.plan, assessment: root.assessment }
  })

/** Drags a handle of the section by pixels, as a hand does, and lets it go. */
export async function dragHandle(page: Page, handle: string, dx: number, dy: number): Promise<void> {
  await holdHandle(page, handle, dx, dy)
  await page.mouse.up()
}

/** Drags a handle of the section by pixels and holds it there. */
export async function holdHandle(page: Page, handle: string, dx: number, dy: number): Promise<void> {
  const box = await page.locator(`alv-section [data-handle=${handle}] .mark`).boundingBox()
  if (box === null) throw new Error(`the section shows no handle ${handle}`)
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  await page.mouse.down()
  for (let step = 1; step <= 6; step++) await page.mouse.move(x + (dx * step) / 6, y + (dy * step) / 6)
}

/** The places where two values differ: numbers by more than 1e-9 (engines differ in the last bit of sin and exp). */
export function differences(a: unknown, b: unknown, path = ''): string[] {
  if (typeof a === 'number' && typeof b === 'number')
    return Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a)) ? [] : [`${path}: ${a} and ${b}`]
  if (typeof a === 'object' && a !== null && typeof b === 'object' && b !== null) {
    const keys = new Set([...Object.keys(a), ...Object.keys(b)])
    return [...keys].flatMap((key) =>
      differences((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key], `${path}.${key}`),
    )
  }
  return a === b ? [] : [`${path}: ${JSON.stringify(a)} and ${JSON.stringify(b)}`]
}

/** Drops files on the page as the browser would hand them over. */
export async function drop(page: Page, files: Readonly<Record<string, Uint8Array>>): Promise<void> {
  const packed = Object.entries(files).map(([name, bytes]) => [name, Buffer.from(bytes).toString('base64')])
  await page.evaluate((all) => {
    const transfer = new DataTransfer()
    for (const [name = '', text = ''] of all)
      transfer.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name))
    for (const type of ['dragenter', 'dragover', 'drop'])
      document.body.dispatchEvent(
        new DragEvent(type, { dataTransfer: transfer, bubbles: true, cancelable: true, composed: true }),
      )
  }, packed)
}
