import { join } from 'node:path'
import {
  type Assessment,
  assess,
  importMesh,
  type Mesh,
  type Plan,
  sizeOf,
  tabulatedCrown,
  type Volume,
} from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import type { Locator, Page } from 'playwright'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findBrowser } from '../../scripts/browser.mjs'
import { sampleFolder } from '../../scripts/sample.mjs'
import { describeMissing, inCi } from '../shared-data.js'
import { differences, drop, openStand, readPage, type Stand, whenReady } from './stand.js'

const name = "the page's crown"
if (findBrowser() === undefined && !inCi()) describeMissing(name, 'no browser')
else
  describe(name, () => {
    let stand: Stand
    let page: Page
    let volume: Volume
    const complaints: string[] = []
    const left = binaryStl(tabulatedCrown('21').mesh)

    beforeAll(async () => {
      stand = await openStand()
      volume = (await loadScan(await inputsFromPath(join(sampleFolder, 'upper-front.zip')))).volume
      page = await stand.browser.newPage({ viewport: { width: 1440, height: 900 } })
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      await page.goto(stand.url)
      await whenReady(page)
    }, 240_000)

    afterAll(() => stand?.close())

    const inNode = (plan: Plan, crownMesh?: Mesh): Assessment =>
      JSON.parse(
        JSON.stringify(assess(volume, plan, { mode: 'refined', ...(crownMesh ? { crownMesh } : {}) })),
      )
    const undone = async (steps = 1): Promise<void> => {
      await page.locator('alv-section .stage').focus()
      for (let n = 0; n < steps; n++) await page.keyboard.press('Control+z')
      await whenReady(page)
    }
    const tab = (text: string): Locator =>
      page.locator('.place .tabs').getByRole('button', { name: text, exact: true })
    const type = async (field: string, value: string): Promise<void> => {
      const input = page.locator(`alv-crown-form:not(.off) input[name=${field}]`)
      await input.fill(value)
      await input.press('Enter')
      await whenReady(page)
    }
    const dragOf = async (handle: string, dx: number, dy: number): Promise<void> => {
      const box = await page.locator(`alv-crown-view [data-handle=${handle}] .mark`).boundingBox()
      if (box === null) throw new Error(`the crown view shows no handle ${handle}`)
      await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
      await page.mouse.down()
      for (let step = 1; step <= 5; step++)
        await page.mouse.move(
          box.x + box.width / 2 + (dx * step) / 5,
          box.y + box.height / 2 + (dy * step) / 5,
        )
      await page.mouse.up()
      await whenReady(page)
    }

    test('is dragged and turned in its own view; the numbers are those of Node, undo brings the old ones back', async () => {
      const before = await readPage(page)
      await page.locator('.top').getByRole('button', { name: 'Crown', exact: true }).click()
      await page.waitForSelector('alv-crown-view [data-handle=crown]')
      await dragOf('crown', 12, 9)
      const moved = await readPage(page)
      expect(moved.plan.crown.pose).not.toEqual(before.plan.crown.pose)
      expect(moved.plan.fixture).toEqual(before.plan.fixture)
      expect(differences(moved.assessment, inNode(moved.plan))).toEqual([])
      await dragOf('turn', 0, 25)
      const turned = await readPage(page)
      expect(turned.plan.crown.pose).not.toEqual(moved.plan.crown.pose)
      expect(differences(turned.assessment, inNode(turned.plan))).toEqual([])
      await undone(2)
      expect(await readPage(page)).toEqual(before)
    })

    test('takes a typed size, tilt, rotation and channel; the table and undo bring back what was', async () => {
      const before = await readPage(page)
      await tab('Form').click()
      await type('widthMdMm', '7.6')
      await type('lengthMm', '11.2')
      const sized = await readPage(page)
      expect(sized.plan.crown).toMatchObject({ size: { widthMdMm: 7.6, lengthMm: 11.2 } })
      if (sized.plan.crown.kind !== 'tabulated') throw new Error('no crown of the table')
      expect(sizeOf(tabulatedCrown('11', sized.plan.crown.size)).widthMdMm).toBeCloseTo(7.6, 2)
      expect(differences(sized.assessment, inNode(sized.plan))).toEqual([])
      await page.getByRole('button', { name: 'table size' }).click()
      await whenReady(page)
      expect((await readPage(page)).plan).toEqual(before.plan)
      await tab('Crown').click()
      await type('crown-tilt-facial', '12')
      await type('crown-rotation', '5')
      await tab('Channel').click()
      await type('channelDiameterMm', '9')
      const typed = await readPage(page)
      expect(typed.plan.limits).toEqual({ ...before.plan.limits, channelDiameterMm: 3.5 })
      expect(typed.assessment.channel.diameterMm).toBe(3.5)
      expect(differences(typed.assessment, inNode(typed.plan))).toEqual([])
      await undone(6)
      expect(await readPage(page)).toEqual(before)
    })

    test('the ways of holding it stand side by side, with a mark and a word each', async () => {
      const { assessment } = await readPage(page)
      const table = page.locator('alv-retention table')
      expect(await table.locator('thead th').allInnerTexts()).toEqual([
        'Straight screw',
        'Angled screw',
        'Cemented',
      ])
      const words = { open: 'open', reserve: 'with reserve', closed: 'closed' }
      expect(await table.locator('tbody td').allInnerTexts()).toEqual(
        assessment.retention.map(({ verdict }) => words[verdict]),
      )
      expect(await table.locator('tbody svg').count()).toBe(3)
    })

    test('is fitted to the gap between two contacts pointed at on a slice through them', async () => {
      const before = await readPage(page)
      await tab('Gap').click()
      const fit = page.getByRole('button', { name: 'Fit to the gap' })
      expect(await fit.isDisabled()).toBe(true)
      for (const [side, share] of [
        ['mesial', 0.77],
        ['distal', 0.23],
      ] as const) {
        await page.getByRole('button', { name: `Point at the ${side} contact` }).click()
        await page
          .locator('.top figcaption')
          .getByText(/above the platform/)
          .waitFor()
        const box = await page.locator('alv-collar .stage').boundingBox()
        if (box === null) throw new Error('no collar')
        await page
          .locator('alv-collar .stage')
          .click({ position: { x: share * box.width, y: 0.5 * box.height } })
        await page.getByText(/Collar, .* deep/).waitFor()
      }
      const marked = await readPage(page)
      expect(marked.plan.site.neighbours?.mesial?.contact?.[0]).toBeGreaterThan(
        marked.plan.site.neighbours?.distal?.contact?.[0] ?? Number.NaN,
      )
      await fit.click()
      await whenReady(page)
      const said = ((await page.locator('alv-crown-form .said').textContent()) ?? '').replace(/\s/g, ' ')
      const { plan, assessment } = await readPage(page)
      const { mesial, distal } = plan.site.neighbours ?? {}
      const gap = Number(/Gap ([\d.]+) mm/.exec(said)?.[1])
      // Seen along the crown's long axis: its contacts lie at two heights.
      const apart = (mesial?.contact ?? []).map((v, n) => v - (distal?.contact?.[n] ?? 0))
      const along = apart.reduce((sum, v, n) => sum + v * (plan.crown.pose[4 * n + 2] ?? 0), 0)
      expect(gap).toBeCloseTo(Math.sqrt(apart.reduce((sum, v) => sum + v * v, 0) - along * along), 2)
      expect(plan.crown.kind === 'tabulated' && plan.crown.size?.widthMdMm).toBeCloseTo(gap, 0)
      expect(differences(assessment, inNode(plan))).toEqual([])
      await undone(3)
      expect(await readPage(page)).toEqual(before)
      await tab('Fixture').click()
    })

    test('comes from a mesh of the other side, mirrored: the exit is that of the table; undo brings the crown before', async () => {
      const before = await readPage(page)
      await drop(page, { 'left central.stl': left })
      const form = page.locator('alv-crown-import')
      await form.getByText('left central.stl').first().waitFor({ timeout: 20_000 })
      expect(await form.getByRole('button', { name: 'millimetres' }).getAttribute('aria-pressed')).toBe(
        'true',
      )
      expect((await readPage(page)).plan).toEqual(before.plan)
      await form.getByRole('button', { name: 'Mirror it: it is of 21' }).click()
      await form.waitFor({ state: 'detached', timeout: 30_000 })
      await whenReady(page)
      const { plan, assessment } = await readPage(page)
      expect(plan.crown).toMatchObject({ kind: 'mesh', file: 'left central.stl', tooth: '21' })
      const { mesh } = importMesh(left, 'left central.stl')
      expect(differences(assessment, inNode(plan, mesh))).toEqual([])
      expect(assessment.exit.class).toBe(before.assessment.exit.class)
      expect(Math.abs((assessment.exit.offsetMm ?? 9) - (before.assessment.exit.offsetMm ?? 0))).toBeLessThan(
        0.3,
      )
      await undone()
      expect(await readPage(page)).toEqual(before)
    })

    test('of a plan whose mesh is not here is asked for by name; nothing is measured till it comes', async () => {
      const before = await readPage(page)
      await page.keyboard.press('Control+Shift+z')
      await whenReady(page)
      const meshed = await readPage(page)
      const other = await stand.browser.newPage({ viewport: { width: 1440, height: 900 } })
      try {
        await other.goto(stand.url)
        await whenReady(other)
        await drop(other, { 'plan.json': new TextEncoder().encode(JSON.stringify(meshed.plan)) })
        await other.getByText('which is not here').waitFor({ timeout: 20_000 })
        expect(await other.locator('.notice').textContent()).toContain('left central.stl')
        await other.locator('alv-exit').getByText('not measured yet').waitFor({ timeout: 5000 })
        // Another file of the same name is no substitute.
        const wrong = binaryStl(tabulatedCrown('22').mesh)
        await drop(other, { 'left central.stl': wrong })
        await other.getByText('This is another file').waitFor({ timeout: 20_000 })
        await other.locator('alv-crown-import').getByRole('button', { name: 'Cancel' }).click()
        await other.locator('alv-exit').getByText('not measured yet').waitFor({ timeout: 5000 })
        await drop(other, { 'left central.stl': left })
        await other.getByText('which is not here').waitFor({ state: 'detached', timeout: 20_000 })
        await whenReady(other)
        expect(differences((await readPage(other)).assessment, meshed.assessment)).toEqual([])
      } finally {
        await other.close()
      }
      await undone()
      expect(await readPage(page)).toEqual(before)
    })

    test('takes the size alone of a mesh in inches, once the unit was chosen', async () => {
      const before = await readPage(page)
      const inches = tabulatedCrown('21', { widthMdMm: 8 }).mesh
      const small = { ...inches, positions: inches.positions.map((v) => v / 25.4) }
      await drop(page, { 'inches.stl': binaryStl(small) })
      const form = page.locator('alv-crown-import')
      const use = form.getByRole('button', { name: 'Only its size' })
      await use.waitFor({ timeout: 20_000 })
      expect(await use.isDisabled()).toBe(true)
      await form.getByRole('button', { name: 'inches' }).click()
      await use.click()
      await form.waitFor({ state: 'detached', timeout: 30_000 })
      await whenReady(page)
      const { plan } = await readPage(page)
      expect(plan.crown.kind).toBe('tabulated')
      expect(plan.crown.pose).toEqual(before.plan.crown.pose)
      const size = plan.crown.kind === 'tabulated' ? plan.crown.size : undefined
      expect(Math.abs((size?.widthMdMm ?? 0) - 8)).toBeLessThan(0.15)
      await undone()
      expect(await readPage(page)).toEqual(before)
    })

    test('nothing went wrong unseen', () => expect(complaints).toEqual([]))
  })

/** A mesh as binary STL. */
function binaryStl({ positions, triangles }: Mesh): Uint8Array {
  const bytes = new Uint8Array(84 + 50 * (triangles.length / 3))
  const view = new DataView(bytes.buffer)
  view.setUint32(80, triangles.length / 3, true)
  triangles.forEach((vertex, n) => {
    const at = 84 + 50 * Math.floor(n / 3) + 12 + 12 * (n % 3)
    for (const axis of [0, 1, 2]) view.setFloat32(at + 4 * axis, positions[3 * vertex + axis] ?? 0, true)
  })
  return bytes
}
