import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { assess, readPlan } from '@alveometer/core'
import { chiralPhantom, chiralStorage, writeMultiFrame, writeSeries, zipSeries } from '@alveometer/phantom'
import { inputFromBytes, loadScan } from '@alveometer/scan'
import type { Locator, Page } from 'playwright'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findBrowser } from '../../scripts/browser.mjs'
import { describeMissing, inCi } from '../shared-data.js'
import { differences, drop, openStand, readPage, type Stand, whenReady } from './stand.js'

const phantom = chiralPhantom()
const storage = chiralStorage
const text = new TextEncoder()

const name = 'a scan on its way onto the page'
if (findBrowser() === undefined && !inCi()) describeMissing(name, 'no browser')
else
  describe(name, () => {
    let stand: Stand
    let page: Page
    const complaints: string[] = []

    beforeAll(async () => {
      stand = await openStand()
      page = await stand.browser.newPage({ viewport: { width: 1440, height: 900 } })
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      await page.goto(stand.url)
      await whenReady(page)
    }, 240_000)

    afterAll(() => stand?.close())

    const scanCell = () => page.locator('alv-title-block .scan dd')
    const titleBlock = () =>
      page.locator('alv-title-block').evaluate((e) => e.shadowRoot?.querySelector('dl')?.textContent ?? '')

    describe('two series of two patients', () => {
      const series = (seed: string, patientName: string, patientId: string) =>
        writeSeries(phantom, {
          storage,
          seed,
          patientName,
          patientId,
          seriesDescription: `Series ${seed}`,
        }).map((f) => ({ ...f, name: `${seed}/${f.name}` }))
      const pick = zipSeries([
        ...series('one', 'First^Person', 'P1'),
        ...series('two', 'Second^Person', 'P2'),
      ])

      test('are shown with a warning, without a number of the scan before; one click opens', async () => {
        await drop(page, { 'disc.zip': pick })
        const chooser = page.locator('alv-series-chooser')
        await chooser.getByText('Scans of 2 patients are in this pick.').waitFor({ timeout: 30_000 })
        expect(await page.getAttribute('alv-chairside', 'data-state')).toBe('asking')
        expect(await page.locator('alv-section').count()).toBe(0)
        expect(await scanCell().textContent()).toBe('none')
        await chooser.getByRole('button', { name: /Series two/ }).click()
        await whenReady(page)
        expect(await scanCell().textContent()).toBe('disc.zip')
      })

      test('and the persons stay nowhere', async () => {
        const { plan } = await readPage(page)
        const kept = await page.evaluate(() => JSON.stringify({ ...localStorage }))
        expect(JSON.stringify(plan) + kept).not.toMatch(/First|Second|Person|P1|P2/)
        expect(await page.locator('alv-chairside').textContent()).not.toContain('Person')
      })
    })

    describe('a multi-frame file that gives neither pixel size nor places', () => {
      const { bytes } = writeMultiFrame(phantom, {
        object: 'CTWithFrames',
        storage,
        patientName: 'Third^Person',
        overrides: { PixelSpacing: undefined },
      })
      let saved = ''

      test('asks for them; known lengths and a side chosen give numbers, the same as in Node', async () => {
        await drop(page, { 'frames.dcm': bytes })
        await page.getByRole('button', { name: /Confirm the geometry/ }).click({ timeout: 30_000 })
        const check = page.locator('alv-geometry-check')
        await check.locator('alv-check-picture [data-end=to]').first().waitFor({ timeout: 30_000 })
        const claim = /Slice Thickness says 0\.300\s*mm/
        expect((await check.evaluate(written)).replace(claim, '')).not.toMatch(/\d\s*mm/)
        const confirm = check.getByRole('button', { name: 'Confirm and open' })
        expect(await confirm.isDisabled()).toBe(true)
        // The lines lie over 12.4 pixels and 9.2 slices at first; the phantom's voxels are 0.3 mm.
        await knownLength(check, 0, '3.72')
        await knownLength(check, 1, '2.76')
        await check.getByText('The scan would be 9.6 × 9.6 × 7.2').waitFor()
        await check.getByText('towards Head').click()
        await confirm.click()
        await whenReady(page)
        const { plan, assessment } = await readPage(page)
        const answers = plan.scan.confirmed
        expect(answers?.sliceStepMm).toBeCloseTo(0.3, 9)
        expect(answers?.pixelSpacingMm?.[0]).toBeCloseTo(0.3, 9)
        expect(answers?.how).toEqual({
          'pixel-spacing': 'known-length',
          'slice-step': 'known-length',
          orientation: 'chosen',
        })
        const { volume } = await loadScan([inputFromBytes('frames.dcm', bytes)], answers ? { answers } : {})
        expect(
          differences(assessment, JSON.parse(JSON.stringify(assess(volume, plan, { mode: 'refined' })))),
        ).toEqual([])
      })

      test('the title block says so, and the warning opens to what it means', async () => {
        expect(await titleBlock()).toContain('confirmed by hand')
        const block = page.locator('alv-title-block')
        await block.getByRole('button', { name: /warning/ }).click()
        const line = block.locator('li', { hasText: 'Confirmed by a person' })
        await line.getByText('what is this?').click()
        const page1 = readFileSync(
          join(import.meta.dirname, '../../docs/load-report/geometry-confirmed.md'),
          'utf8',
        )
        const sentence = /## Why it matters\n\n(.*)\n/.exec(page1)?.[1] ?? 'no such page'
        await line.getByText(sentence).waitFor({ timeout: 10_000 })
        await block
          .getByRole('dialog', { name: 'Load report' })
          .getByRole('button', { name: 'Close' })
          .click()
      })

      test('a saved plan carries what was confirmed, the remarks and the cautions, and no person', async () => {
        const download = page.waitForEvent('download')
        await page.getByRole('button', { name: 'Save plan' }).click()
        saved = readFileSync(await (await download).path(), 'utf8')
        const plan = readPlan(saved)
        expect(plan.scan.confirmed?.sliceStepMm).toBeCloseTo(0.3, 9)
        expect(plan.scan.remarks?.map((r) => r.code)).toContain('geometry-confirmed')
        expect(saved).toContain('Planning and teaching aid')
        expect(saved).not.toContain('Person')
      })

      test('opened again with its plan it is not asked again, and that is told', async () => {
        await page.evaluate(() => localStorage.clear())
        await drop(page, { 'again.dcm': bytes, 'plan.json': text.encode(saved) })
        await page.getByText('it was applied again').waitFor({ timeout: 30_000 })
        await whenReady(page)
        expect(await scanCell().textContent()).toBe('again.dcm')
        expect((await readPage(page)).plan.scan.confirmed).toEqual(readPlan(saved).scan.confirmed)
      })

      test('confirmed anew the check comes again; left, the scan is as it was', async () => {
        const before = await readPage(page)
        await page.getByRole('button', { name: 'Confirm anew' }).click()
        await page
          .locator('alv-geometry-check')
          .getByRole('button', { name: 'Back' })
          .click({ timeout: 30_000 })
        await whenReady(page)
        expect(await readPage(page)).toEqual(before)
      })

      test('a plan opened while it is asked answers it', async () => {
        await page.reload()
        await whenReady(page)
        await page.evaluate(() => localStorage.clear())
        await drop(page, { 'third.dcm': bytes })
        await page.getByRole('button', { name: /Confirm the geometry/ }).click({ timeout: 30_000 })
        await page.locator('alv-geometry-check').waitFor({ timeout: 30_000 })
        await drop(page, { 'plan.json': text.encode(saved) })
        await page.getByText('it was applied again').waitFor({ timeout: 30_000 })
        await whenReady(page)
        expect((await readPage(page)).plan.fixture).toEqual(readPlan(saved).fixture)
      })
    })

    test('sides that contradict the positions in the file are refused where they were chosen', async () => {
      const files = writeSeries(phantom, {
        storage,
        seed: 'sides',
        overrides: { ImageOrientationPatient: undefined },
      })
      await drop(page, { 'sides.zip': zipSeries(files) })
      await page.getByRole('button', { name: /Confirm the geometry/ }).click({ timeout: 30_000 })
      const check = page.locator('alv-geometry-check')
      await check.locator('select#left').selectOption('Right')
      await check.locator('select#top').selectOption('Head')
      await check.getByRole('button', { name: 'Confirm and open' }).click()
      await check.getByText(/contradict the positions/).waitFor({ timeout: 30_000 })
      expect(await check.locator('select#left').inputValue()).toBe('Right')
      await check.locator('select#top').selectOption('Front')
      await check.getByRole('button', { name: 'Confirm and open' }).click()
      await whenReady(page)
      expect(await scanCell().textContent()).toBe('sides.zip')
    })

    test('what is too large is offered at half resolution, and says so once it is loaded', async () => {
      // 32 x 32 x 24 voxels of two bytes are 48 kB.
      await page.locator('alv-chairside').evaluate((e) => e.setAttribute('memory-mb', '0.04'))
      await drop(page, { 'large.zip': zipSeries(writeSeries(phantom, { storage, seed: 'large' })) })
      const offer = page.locator('alv-size-offer')
      await offer.getByText('voxels 0.600').waitFor({ timeout: 30_000 })
      await offer.getByRole('button', { name: 'Load at half resolution' }).click()
      await whenReady(page)
      expect(await titleBlock()).toMatch(/0\.600\s+half resolution/)
      expect(await titleBlock()).toMatch(/16\s*×\s*16\s*×\s*12/)
      await page.locator('alv-chairside').evaluate((e) => e.setAttribute('memory-mb', '2000'))
    })

    test('?scan= opens another scan of this origin, without the plan of the sample', async () => {
      await page.evaluate(() => localStorage.clear())
      await page.goto(`${stand.url}?scan=sample/upper-front.zip`)
      await whenReady(page)
      await page.getByText('There is no plan for this scan yet').waitFor()
      expect(await scanCell().textContent()).toBe('upper-front.zip')
    })

    test('?scan= of another origin is refused, and nothing is asked of it', async () => {
      const asked: string[] = []
      page.on('request', (request) => asked.push(request.url()))
      await page.goto(`${stand.url}?scan=https://elsewhere.invalid/scan.zip`)
      await page.getByText('A link can only open scans and plans that lie beside this page').waitFor()
      expect(asked.filter((url) => !url.startsWith(stand.url))).toEqual([])
    })

    test('nothing broke the policy or failed unseen', () => {
      expect(complaints).toEqual([])
    })
  })

/** Touches the line on a picture without changing it and types what it is long. */
async function knownLength(check: Locator, which: number, mm: string): Promise<void> {
  const end = check.locator('alv-check-picture').nth(which).locator('[data-end=to]')
  const [away, back] = which === 0 ? ['ArrowRight', 'ArrowLeft'] : ['ArrowDown', 'ArrowUp']
  await end.press(away)
  await end.press(back)
  await check.locator('fieldset').nth(which).getByLabel('its length').fill(mm)
}

/** What is written in an element, those inside it included. */
function written(element: Element): string {
  const read = (node: Node): string => {
    if (node instanceof HTMLStyleElement) return ''
    const inside = node instanceof Element && node.shadowRoot ? node.shadowRoot : node
    return node instanceof Text ? node.data : [...inside.childNodes].map(read).join('')
  }
  return read(element)
}
