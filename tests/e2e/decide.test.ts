import { mkdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { MissCloud, Plan, TiltChart, WaysOut } from '@alveometer/core'
import type { Page } from 'playwright'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findBrowser } from '../../scripts/browser.mjs'
import { root } from '../../scripts/workspace.mjs'
import { describeMissing, inCi } from '../shared-data.js'
import { drop, openStand, readPage, type Stand, whenReady } from './stand.js'

// The decision on the page: the chart moves the fixture, a way out is adopted and given back, the cloud follows the plan.
// With WALK_PICTURES=1 its pictures for the README are taken anew.

/** What the decision lets a test see. */
interface Decision extends HTMLElement {
  readonly chart: TiltChart | null
  readonly ways: WaysOut | null
  readonly cloud: MissCloud | null
}

const name = 'the decision'
if (findBrowser() === undefined && !inCi()) describeMissing(name, 'no browser')
else
  describe(name, () => {
    let stand: Stand
    let page: Page
    const complaints: string[] = []

    beforeAll(async () => {
      stand = await openStand()
      page = await stand.browser.newPage({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' })
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      await page.goto(stand.url)
      await whenReady(page)
      await drop(page, {
        'plan-leaning.json': readFileSync(join(root, 'sample-volumes', 'upper-front', 'plan-leaning.json')),
      })
      await whenReady(page)
    }, 240_000)

    afterAll(() => stand?.close())

    const show = async (part: 'Tilt chart' | 'Ways out' | 'Miss cloud'): Promise<void> => {
      await page.locator('alv-decision .head').getByRole('button', { name: part, exact: true }).click()
    }
    const whenDecided = async (): Promise<void> => {
      await whenReady(page)
      await page.waitForSelector('alv-decision[data-state=ready]', { state: 'attached', timeout: 100_000 })
    }
    const decision = <T>(read: (element: Decision) => T): Promise<T> =>
      page.locator('alv-decision').evaluate(read as (element: SVGElement | HTMLElement) => T)
    const planNow = async (): Promise<Plan> => (await readPage(page)).plan
    const picture = async (file: string): Promise<void> => {
      if (process.env.WALK_PICTURES !== '1') return
      mkdirSync(join(root, 'docs'), { recursive: true })
      await page.mouse.move(0, 0)
      await page.screenshot({ path: join(root, 'docs', file) })
    }

    test('the whole trade-off is worked out', { timeout: 200_000 }, async () => {
      await page.locator('header').getByRole('button', { name: 'Decide', exact: true }).click()
      await whenDecided()
      const chart = await decision(({ chart }) => chart)
      expect(chart?.coarseness).toBe(1)
      const { assessment } = await readPage(page)
      expect(chart?.present.column).toBeCloseTo(assessment.exit.tiltFacialDeg, 6)
      expect(chart?.present.row).toBeCloseTo(assessment.exit.tiltMesialDeg, 6)
      expect(await decision(({ ways }) => ways?.ways.map(({ way }) => way))).toEqual([
        'straight',
        'straight-graft',
        'angled',
        'cemented',
      ])
      await picture('decide-1.png')
    })

    test('arrow keys move the fixture a cell in the chart, undo takes it back', {
      timeout: 200_000,
    }, async () => {
      const before = await planNow()
      const { column } = (await decision(({ chart }) => chart?.present)) ?? { column: Number.NaN }
      await page.locator('alv-tilt-chart .plot').focus()
      await page.keyboard.press('ArrowLeft')
      await whenDecided()
      const after = await decision(({ chart }) => chart?.present)
      expect(after?.column).toBeLessThan(column)
      expect((await planNow()).fixture.platform).toEqual(before.fixture.platform)
      await page.keyboard.press('Control+z')
      await whenDecided()
      expect(await planNow()).toEqual(before)
    })

    test('a tap on the chart moves the fixture there, a drag of its ring is one step', {
      timeout: 200_000,
    }, async () => {
      const before = await planNow()
      const box = await page.locator('alv-tilt-chart .plot').boundingBox()
      const spec = await decision(({ chart }) => chart?.spec)
      if (box === null || spec === undefined) throw new Error('no chart is drawn')
      const { from, to } = spec.columns
      // A quarter of the way across, half of the way up.
      await page.mouse.click(box.x + 0.3 * box.width, box.y + box.height / 2)
      await whenDecided()
      const tapped = await decision(({ chart }) => chart?.present)
      expect(Math.abs((tapped?.column ?? Number.NaN) - (from + 0.3 * (to - from)))).toBeLessThan(1)
      await page.keyboard.press('Control+z')
      await whenDecided()
      expect(await planNow()).toEqual(before)
      const present = await decision(({ chart }) => chart?.present)
      const x = box.x + (((present?.column ?? 0) - from) / (to - from)) * box.width
      const y =
        box.y + (1 - ((present?.row ?? 0) - spec.rows.from) / (spec.rows.to - spec.rows.from)) * box.height
      await page.mouse.move(x, y)
      await page.mouse.down()
      for (let step = 1; step <= 5; step++) await page.mouse.move(x - 12 * step, y + 4 * step)
      await page.mouse.up()
      await whenDecided()
      expect((await decision(({ chart }) => chart?.present.column)) ?? Number.NaN).toBeLessThan(
        (present?.column ?? 0) - 3,
      )
      await page.keyboard.press('Control+z')
      await whenDecided()
      expect(await planNow()).toEqual(before)
    })

    test('what the chart tells of the plan is what the plan was measured at', {
      timeout: 200_000,
    }, async () => {
      const chart = await decision(({ chart }) => chart)
      const { assessment } = await readPage(page)
      if (chart === null) throw new Error('no chart')
      const { columns, rows, present } = chart
      const nearestTo = (values: readonly number[], value: number) =>
        values.reduce((best, v, n) => (Math.abs(v - value) < Math.abs(values[best] - value) ? n : best), 0)
      const cell = nearestTo(rows, present.row) * columns.length + nearestTo(columns, present.column)
      expect(chart.exit[cell]).toBe(assessment.exit.class)
      // Half a degree off the plan, and read from the surface found once: within both intervals.
      expect(
        Math.abs((chart.nearestMm[cell] ?? Number.NaN) - (assessment.margin.minimum?.nearestMm ?? 0)),
      ).toBeLessThan(chart.uncertaintyMm + 0.1)
    })

    test('a way out is adopted in one click and given back', { timeout: 200_000 }, async () => {
      const before = await planNow()
      await show('Ways out')
      const found = await decision(({ ways }) =>
        ways?.ways.find(
          ({ exists, held }) => exists || held.every(({ reserve }) => reserve !== null && reserve >= 0),
        ),
      )
      if (found === undefined) throw new Error('the sample has no way out')
      await picture('decide-2.png')
      await page
        .locator('alv-ways-out')
        .getByRole('button', { name: /^Adopt/ })
        .first()
        .click()
      await whenDecided()
      const adopted = await planNow()
      expect(adopted.fixture.platform).toEqual(found.pose.platform)
      expect(adopted.graft !== undefined).toBe(found.way === 'straight-graft')
      await page.locator('alv-ways-out').getByRole('button', { name: /^Back/ }).first().click()
      await whenDecided()
      expect((await planNow()).fixture).toEqual(before.fixture)
    })

    test('the cloud follows the plan and the error that is chosen', { timeout: 200_000 }, async () => {
      await show('Miss cloud')
      await whenDecided()
      const guided = await decision(({ cloud }) => cloud)
      await picture('decide-3.png')
      await page
        .locator('alv-miss-cloud')
        .getByRole('button', { name: /freehand/i })
        .click()
      await whenDecided()
      const freehand = await decision(({ cloud }) => cloud)
      expect(guided?.error.kind).toBe('guided')
      expect(freehand?.error.kind).toBe('freehand')
      expect(freehand?.missed.apexMm.p50).toBeGreaterThan(guided?.missed.apexMm.p50 ?? Number.NaN)
      expect(freehand?.draws).toBe(10_000)
    })

    test('nothing was complained of', () => {
      expect(complaints).toEqual([])
    })
  })
