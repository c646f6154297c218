import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { assess, type Plan, type Volume } from '@alveometer/core'
import { chiralPhantom, chiralStorage, writeSeries, zipSeries } from '@alveometer/phantom'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import type { Page } from 'playwright'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findBrowser } from '../../scripts/browser.mjs'
import { sampleFolder } from '../../scripts/sample.mjs'
import { describeMissing, inCi } from '../shared-data.js'
import {
  differences,
  dragHandle,
  drop,
  holdHandle,
  openStand,
  readPage,
  type Stand,
  whenMode,
  whenReady,
} from './stand.js'

/** The page's root element, its engine within reach. */
interface Watched extends HTMLElement {
  readonly workbench: { readonly engine: { refine(...given: unknown[]): Promise<unknown> } }
}

const name = 'the page in a browser'
if (findBrowser() === undefined && !inCi()) describeMissing(name, 'no browser')
else
  describe(name, () => {
    let stand: Stand
    let page: Page
    let volume: Volume
    const requests: string[] = []
    const complaints: string[] = []

    beforeAll(async () => {
      stand = await openStand()
      volume = (await loadScan(await inputsFromPath(join(sampleFolder, 'upper-front.zip')))).volume
      page = await stand.browser.newPage({ viewport: { width: 1440, height: 900 } })
      page.on('request', (request) => requests.push(request.url()))
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      const response = await page.goto(stand.url)
      expect(response?.headers()['content-security-policy']).toMatch(/default-src 'self'/)
      await whenReady(page)
    }, 240_000)

    afterAll(() => stand?.close())

    const inNode = (plan: Plan, mode: 'fast' | 'refined' = 'refined') =>
      JSON.parse(JSON.stringify(assess(volume, plan, { mode })))

    test('opens with the sample scan, a crown on 11 and a fixture, measured as in Node', async () => {
      const { plan, assessment } = await readPage(page)
      expect(plan.site.tooth).toBe('11')
      expect(assessment.exit.class).not.toBeNull()
      expect(assessment.margin.minimum).not.toBeNull()
      expect(differences(assessment, inNode(plan))).toEqual([])
    })

    test('in the hand the numbers are the fast ones, let go the refined ones, each as in Node', async () => {
      await whenMode(page, 'refined')
      await holdHandle(page, 'body', 9, 6)
      await whenMode(page, 'fast')
      const held = await readPage(page)
      expect(await page.locator('alv-margin').getByText('fast, while moving').count()).toBe(1)
      expect(differences(held.assessment, inNode(held.plan, 'fast'))).toEqual([])
      await page.mouse.up()
      await whenReady(page)
      await whenMode(page, 'refined')
      const free = await readPage(page)
      expect(free.plan).toEqual(held.plan)
      expect(differences(free.assessment, inNode(free.plan))).toEqual([])
      await page.keyboard.press('Control+z')
      await whenReady(page)
    })

    test('taken up again while it refines, that is given up; what stands in the end is of the last place', async () => {
      await page.evaluate(() => {
        const outcomes: string[] = []
        const { engine } = document.querySelector<Watched>('alv-chairside')?.workbench ?? {}
        if (engine === undefined) throw new Error('no engine')
        const { refine } = engine
        engine.refine = async (...given) => {
          outcomes.push('begun')
          const run = refine.apply(engine, given)
          run.then(
            () => outcomes.push('refined'),
            (error: Error) => outcomes.push(error.name),
          )
          return run
        }
        Object.assign(window, { outcomes })
      })
      const outcomes = () => page.evaluate(() => (window as unknown as { outcomes: string[] }).outcomes)
      await dragHandle(page, 'apex', 8, 2)
      await expect.poll(outcomes).toEqual(['begun'])
      await holdHandle(page, 'apex', 8, -4)
      await whenMode(page, 'fast')
      expect(await outcomes()).toEqual(['begun', 'AbortError'])
      await page.mouse.up()
      await whenReady(page)
      await whenMode(page, 'refined')
      expect(await outcomes()).toEqual(['begun', 'AbortError', 'begun', 'refined'])
      const { plan, assessment } = await readPage(page)
      expect(differences(assessment, inNode(plan))).toEqual([])
      for (let n = 0; n < 2; n++) await page.keyboard.press('Control+z')
      await whenReady(page)
    })

    for (const [handle, dx, dy] of [
      ['body', 14, -9],
      ['platform', -10, 4],
      ['apex', 12, 3],
    ] as const)
      test(`dragging the ${handle} changes every number to what Node gives; undo brings the old ones back`, async () => {
        const before = await readPage(page)
        await dragHandle(page, handle, dx, dy)
        await whenReady(page)
        const after = await readPage(page)
        expect(after.plan.fixture).not.toEqual(before.plan.fixture)
        expect(after.assessment.exit.offsetMm).not.toBe(before.assessment.exit.offsetMm)
        expect(after.assessment.margin.minimum).not.toEqual(before.assessment.margin.minimum)
        expect(after.assessment.density.core?.mean).not.toBe(before.assessment.density.core?.mean)
        expect(differences(after.assessment, inNode(after.plan))).toEqual([])

        await page.keyboard.press('Control+z')
        await whenReady(page)
        expect(await readPage(page)).toEqual(before)
        await page.keyboard.press('Control+Shift+z')
        await whenReady(page)
        expect(await readPage(page)).toEqual(after)
        await page.keyboard.press('Control+z')
        await whenReady(page)
      })

    test('arrow keys move the fixture 0.1 mm, with Shift they tilt it 0.5 deg', async () => {
      const before = await readPage(page)
      await page.locator('alv-section .stage').focus()
      await page.keyboard.press('ArrowRight')
      await whenReady(page)
      const moved = (await readPage(page)).plan.fixture.platform
      const old = before.plan.fixture.platform
      expect(Math.hypot(moved[0] - old[0], moved[1] - old[1], moved[2] - old[2])).toBeCloseTo(0.1, 9)
      await page.keyboard.press('Shift+ArrowRight')
      await whenReady(page)
      const tilted = await readPage(page)
      expect(
        Math.abs(tilted.assessment.exit.tiltFacialDeg - before.assessment.exit.tiltFacialDeg),
      ).toBeCloseTo(0.5, 6)
      await page.keyboard.press('Control+z')
      await page.keyboard.press('Control+z')
      await whenReady(page)
      expect(await readPage(page)).toEqual(before)
    })

    test('a grey value for the calibration is pointed at in a drawing, and moves nothing', async () => {
      const before = await readPage(page)
      await page.locator('details.calibrate > summary').click()
      const form = page.locator('alv-grey-calibration')
      const measure = form.getByRole('button', { name: 'measure air in the picture' })
      const collar = page.locator('alv-collar .stage')
      await measure.click()
      await page.keyboard.press('Escape')
      expect(await page.locator('alv-section[picking]').count()).toBe(0)
      await measure.click()
      await page.getByText('Point at the grey value').waitFor()
      await collar.click({ position: { x: 60, y: 60 } })
      const first = form.locator('input[name=grey]').first()
      await expect.poll(() => first.inputValue()).toMatch(/^-?\d+(\.\d+)?$/)
      expect(await page.locator('alv-section[picking], alv-collar[picking]').count()).toBe(0)
      expect((await readPage(page)).plan).toEqual(before.plan)
      const second = form.locator('input[name=grey]').nth(1)
      await second.fill(String(Number(await first.inputValue()) + 900))
      await form.getByRole('button', { name: 'Apply' }).click()
      await whenReady(page)
      const { plan, assessment } = await readPage(page)
      expect(plan.calibration?.points.map(({ hu }) => hu)).toEqual([-1000, 40])
      expect(differences(assessment, inNode(plan))).toEqual([])
      await page.locator('alv-section .stage').focus()
      await page.keyboard.press('Control+z')
      await whenReady(page)
      expect(await readPage(page)).toEqual(before)
      await page.locator('details.calibrate > summary').click()
    })

    test('the 3D view is fetched when it is asked for and draws', async () => {
      await page.getByRole('button', { name: '3D' }).click()
      await page.waitForSelector('alv-scene canvas', { timeout: 60_000 })
      await page.getByRole('button', { name: 'Collar' }).click()
      await page.waitForSelector('alv-collar')
    })

    test('a dropped zip with something wrong says so and keeps the scan', async () => {
      const before = await readPage(page)
      const twice = writeSeries(chiralPhantom(), {
        storage: chiralStorage,
        overrides: (k) => (k === 6 ? { ImagePositionPatient: [0, 0, 1.5] } : {}),
      })
      await drop(page, { 'broken.zip': zipSeries(twice) })
      const chooser = page.locator('alv-series-chooser')
      await chooser.getByText('Nothing here can be measured as it is').waitFor({ timeout: 30_000 })
      await chooser
        .getByText(/same (place|position)/)
        .first()
        .waitFor()
      // No number of the scan before stands beside the refusal.
      expect(await page.locator('alv-section').count()).toBe(0)
      await chooser.getByRole('button', { name: 'Close' }).click()
      await whenReady(page)
      expect(await readPage(page)).toEqual(before)
    })

    test('a dropped zip of DICOM is loaded instead, with its load report', async () => {
      const files = writeSeries(chiralPhantom(), { storage: chiralStorage, seed: 'dropped' })
      const zip = zipSeries([
        ...files,
        { name: 'letter.txt', bytes: new TextEncoder().encode('not a slice') },
      ])
      await drop(page, { 'practice disc.zip': zip })
      await page.locator('alv-title-block').getByText('practice disc.zip').waitFor({ timeout: 60_000 })
      await whenReady(page)
      const block = await page
        .locator('alv-title-block')
        .evaluate((element) => element.shadowRoot?.textContent)
      expect(block).toMatch(/32\s*×\s*32\s*×\s*24/)
    })

    test('a load can be cancelled and the scan before it stays', async () => {
      const before = await readPage(page)
      await page.locator('input.files').setInputFiles(join(sampleFolder, 'upper-front.zip'))
      // Pressed in the page as soon as it is there: on a busy machine a click from outside comes after the scan.
      await page.evaluate(async () => {
        const report = () =>
          document.querySelector('alv-chairside')?.shadowRoot?.querySelector('alv-load-report')
        const cancel = () => report()?.shadowRoot?.querySelector('button')
        while (cancel()?.textContent !== 'Cancel') await new Promise((done) => requestAnimationFrame(done))
        cancel()?.click()
      })
      await whenReady(page)
      expect(await readPage(page)).toEqual(before)
      expect(await page.locator('alv-title-block').getByText('practice disc.zip').count()).toBeGreaterThan(0)
    })

    test('a folder with subfolders and no file extensions is loaded', async () => {
      const folder = mkdtempSync(join(tmpdir(), 'alveometer-folder-'))
      try {
        mkdirSync(join(folder, 'Übersicht', 'SE01'), { recursive: true })
        writeSeries(chiralPhantom(), { storage: chiralStorage, seed: 'folder' })
          .reverse()
          .forEach(({ bytes }, n) => {
            writeFileSync(join(folder, 'Übersicht', 'SE01', `IM${n}`), bytes)
          })
        writeFileSync(join(folder, 'autorun.inf'), '[autorun]')
        await page.locator('input.folder').setInputFiles(folder)
        await page
          .locator('alv-title-block')
          .getByText(/alveometer-folder/)
          .first()
          .waitFor({ timeout: 60_000 })
        await whenReady(page)
        const report = await page.evaluate(
          () =>
            document.querySelector<HTMLElement & { workbench: { report: { code: string }[] } }>(
              'alv-chairside',
            )?.workbench.report,
        )
        expect(report?.map(({ code }) => code)).toEqual(['other-files-ignored'])
      } finally {
        rmSync(folder, { recursive: true })
      }
    })

    test('nothing was asked of another origin, and the policy was never broken', () => {
      expect(requests.length).toBeGreaterThan(3)
      expect(requests.filter((url) => !url.startsWith(stand.url) && !/^(blob|data):/.test(url))).toEqual([])
      expect(complaints).toEqual([])
    })
  })
