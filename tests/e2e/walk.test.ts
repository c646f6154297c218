import { mkdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Assessment, assess, type Plan, readPlan, type Volume } from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import type { Locator, Page } from 'playwright'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findBrowser } from '../../scripts/browser.mjs'
import { sampleFolder } from '../../scripts/sample.mjs'
import { root } from '../../scripts/workspace.mjs'
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

// The trade-off from beginning to end, on the page alone: a fixture that leans, one that stands upright and leaves the
// bone, and the bone brought to it. With WALK_PICTURES=1 the three pictures of the README are taken anew.

const name = 'the walk from a leaning fixture to a graft'
if (findBrowser() === undefined && !inCi()) describeMissing(name, 'no browser')
else
  describe(name, () => {
    let stand: Stand
    let page: Page
    let volume: Volume
    const complaints: string[] = []

    beforeAll(async () => {
      stand = await openStand()
      volume = (await loadScan(await inputsFromPath(join(sampleFolder, 'upper-front.zip')))).volume
      page = await stand.browser.newPage({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' })
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      await page.goto(stand.url)
      await whenReady(page)
    }, 240_000)

    afterAll(() => stand?.close())

    const openPlan = async (file: string): Promise<void> => {
      await drop(page, {
        [file]: readFileSync(join(root, 'sample-volumes', 'upper-front', file)),
      })
      await whenReady(page)
    }
    const inNode = (plan: Plan, mode: 'fast' | 'refined' = 'refined'): Assessment =>
      JSON.parse(JSON.stringify(assess(volume, plan, { mode })))
    const picture = async (file: string): Promise<void> => {
      if (process.env.WALK_PICTURES !== '1') return
      mkdirSync(join(root, 'docs'), { recursive: true })
      await page.mouse.move(0, 0)
      await page.screenshot({ path: join(root, 'docs', file) })
    }
    const form = (): Locator => page.locator('alv-graft-form')
    const choose = async (kind: 'none' | 'to margin' | 'layer'): Promise<void> => {
      await page.locator('.place .tabs').getByRole('button', { name: 'Graft', exact: true }).click()
      await form().getByRole('button', { name: kind, exact: true }).click()
      await whenReady(page)
    }
    const type = async (field: string, value: string): Promise<void> => {
      const input = form().locator(`input[name=${field}]`)
      await input.fill(value)
      await input.press('Enter')
      await whenReady(page)
    }
    const undo = async (steps = 1): Promise<void> => {
      await page.locator('alv-section .stage').focus()
      for (let n = 0; n < steps; n++) await page.keyboard.press('Control+z')
      await whenReady(page)
    }
    const told = (tag: string): Promise<string> =>
      page.locator(tag).evaluate((element) => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? '')

    test('leaning with the bone, the fixture is covered and the channel leaves facially', async () => {
      await openPlan('plan-leaning.json')
      const { assessment } = await readPage(page)
      expect(assessment.exit.class).toBe('facial')
      expect(assessment.exit.offsetMm).toBeGreaterThan(0)
      expect(assessment.margin.inBone.share).toBeGreaterThan(0.99)
      expect(assessment.margin.dehiscenceMm + assessment.margin.fenestrationMm2).toBe(0)
      await picture('walk-1-leaning.png')
    })

    test('upright, the channel leaves behind the tooth and the fixture leaves the bone; what is missing is told', async () => {
      await openPlan('plan-upright.json')
      const { assessment } = await readPage(page)
      expect(assessment.exit.class).toBe('palatal')
      expect(assessment.margin.minimum?.radialMm).toBeLessThan(0)
      const bare = [...assessment.margin.dehiscences, ...assessment.margin.fenestrations]
      expect(bare[0]?.sector).toBe('facial')
      expect(bare[0]?.heightMm).toBeGreaterThan(4)
      const needed = assessment.graftNeeded
      expect(needed?.volumeMm3).toBeGreaterThan(0)
      expect(await told('alv-graft')).toContain(`${needed?.volumeMm3.toFixed(0)} mm³`)
    })

    test('with the arrow keys a little further out the gap reaches the platform: a dehiscence with its height', async () => {
      const before = await readPage(page)
      await page.locator('alv-section .stage').focus()
      const facialIsLeft = await page.locator('alv-section').evaluate((section) => {
        const letters = [...(section.shadowRoot?.querySelectorAll('text.side') ?? [])]
        const facial = letters.find((letter) => letter.textContent?.startsWith('facial'))
        return (facial?.getBoundingClientRect().left ?? 0) < 360
      })
      for (let n = 0; n < 3; n++) await page.keyboard.press(facialIsLeft ? 'ArrowLeft' : 'ArrowRight')
      await whenReady(page)
      const { plan, assessment } = await readPage(page)
      expect(assessment.margin.dehiscenceMm).toBeGreaterThan(5)
      expect(assessment.exit.class).toBe('palatal')
      expect(await told('alv-margin')).toContain(`${assessment.margin.dehiscenceMm.toFixed(1)} high`)
      expect(differences(assessment, inNode(plan))).toEqual([])
      await undo(3)
      expect(await readPage(page)).toEqual(before)
      for (let n = 0; n < 3; n++) await page.keyboard.press('Control+Shift+z')
      await whenReady(page)
      expect((await readPage(page)).plan).toEqual(plan)
      await picture('walk-2-upright.png')
    })

    test('grafted to the wanted margin the bone is there again, and the channel still leaves behind the tooth', async () => {
      const before = await readPage(page)
      await choose('to margin')
      const { plan, assessment } = await readPage(page)
      const { graft } = assessment
      if (graft === null || plan.graft?.kind !== 'deficit') throw new Error('nothing was grafted')
      expect(assessment.exit).toEqual(before.assessment.exit)
      expect(assessment.margin).toEqual(before.assessment.margin)
      expect(differences(assessment, inNode(plan))).toEqual([])
      for (const stage of [graft.after, graft.afterLoss]) {
        expect(stage.dehiscenceMm + stage.fenestrationMm2).toBe(0)
        expect(stage.inBone.share).toBeCloseTo(1, 9)
      }
      // In the middle of the facial side, where it was least: what is wanted there, less what the natural contour costs.
      const { depthMm, angleDeg } = before.assessment.margin.minimum ?? { depthMm: 0, angleDeg: 0 }
      const row = assessment.margin.depthsMm.indexOf(depthMm)
      const column = assessment.margin.anglesDeg.indexOf(angleDeg)
      expect(before.assessment.margin.radialMm[row]?.[column]).toBeLessThan(0)
      const kept = graft.afterLoss.radialMm[row]?.[column] ?? Number.NaN
      expect(kept).toBeGreaterThan(plan.graft.facialMm - graft.cappedMm - 0.01)
      expect(kept).toBeLessThan(plan.graft.facialMm + 0.01)
      // Beside the sector the wanted margin goes over into that of the other sides.
      expect(graft.afterLoss.minimum?.radialMm).toBeGreaterThan(plan.graft.otherMm - 0.01)
      expect(graft.built.volumeMm3).toBeGreaterThan(graft.kept.volumeMm3)
      const words = await told('alv-graft')
      expect(words).toContain(
        `${graft.built.volumeMm3.toFixed(0)} mm³ = ${(graft.built.volumeMm3 / 1000).toFixed(2)} cc`,
      )
      await picture('walk-3-grafted.png')
    })

    test('in 3D it is a closed body of the volume that is told; one that is no longer wanted is given up', async () => {
      await page.locator('.top').getByRole('button', { name: '3D', exact: true }).click()
      await page.waitForFunction(
        () => document.querySelector('alv-chairside')?.shadowRoot?.querySelector('alv-scene')?.graft != null,
      )
      const { built, kept } = await page.evaluate(() => {
        const scene = document.querySelector('alv-chairside')?.shadowRoot?.querySelector('alv-scene')
        const plain = (mesh?: { positions: ArrayLike<number>; triangles: ArrayLike<number> }) => ({
          positions: Array.from(mesh?.positions ?? []),
          triangles: Array.from(mesh?.triangles ?? []),
        })
        return { built: plain(scene?.graft?.built), kept: plain(scene?.graft?.kept) }
      })
      const { graft } = (await readPage(page)).assessment
      if (graft === null) throw new Error('nothing was grafted')
      for (const [mesh, { volumeMm3 }] of [
        [built, graft.built],
        [kept, graft.kept],
      ] as const) {
        expect(openEdges(mesh.triangles)).toBe(0)
        // Drawn from the fast margin at 0.12 mm.
        expect(Math.abs(enclosedMm3(mesh) / volumeMm3 - 1)).toBeLessThan(0.05)
      }
      const outcomes = await page.evaluate(async () => {
        const { workbench } = document.querySelector('alv-chairside') as unknown as {
          workbench: { engine: Surfaces; session: { plan: unknown } }
        }
        interface Surfaces {
          graftMeshes(request: object, options: { signal: AbortSignal }): Promise<unknown>
        }
        const stop = new AbortController()
        const request = { plan: workbench.session.plan, stepMm: 0.05 }
        const run = workbench.engine.graftMeshes(request, { signal: stop.signal })
        setTimeout(() => stop.abort(), 20)
        return run.then(
          () => 'made',
          (error: Error) => error.name,
        )
      })
      expect(outcomes).toBe('AbortError')
      await page.locator('.top').getByRole('button', { name: 'Collar', exact: true }).click()
    })

    test('a thinner graft is a smaller one; every step can be undone and done again', async () => {
      const before = await readPage(page)
      await type('graft-facialMm', '1.2')
      const thin = await readPage(page)
      expect(thin.assessment.graft?.built.volumeMm3).toBeLessThan(
        before.assessment.graft?.built.volumeMm3 ?? 0,
      )
      await type('graft-loss', '30')
      expect((await readPage(page)).plan.graft?.loss).toEqual({ kind: 'share', share: 0.3 })
      await undo(2)
      expect(await readPage(page)).toEqual(before)
      for (let n = 0; n < 2; n++) await page.keyboard.press('Control+Shift+z')
      await whenReady(page)
      expect((await readPage(page)).plan.graft).toMatchObject({ facialMm: 1.2, loss: { share: 0.3 } })
      await undo(2)
      expect(await readPage(page)).toEqual(before)
    })

    test('while the fixture is dragged the graft follows it, as Node measures it fast', async () => {
      const before = await readPage(page)
      await holdHandle(page, 'body', 12, 0)
      await whenMode(page, 'fast')
      const held = await readPage(page)
      expect(held.assessment.graft?.built.volumeMm3).not.toBe(before.assessment.graft?.built.volumeMm3)
      expect(differences(held.assessment, inNode(held.plan, 'fast'))).toEqual([])
      await page.mouse.up()
      await whenReady(page)
      await undo()
      expect(await readPage(page)).toEqual(before)
    })

    test('a saved plan keeps its graft and brings it back; one without a graft has no word of it', async () => {
      const { plan } = await readPage(page)
      const save = async (): Promise<string> => {
        const [download] = await Promise.all([
          page.waitForEvent('download'),
          page.getByRole('button', { name: 'Save plan' }).click(),
        ])
        return readFileSync(await download.path(), 'utf8')
      }
      const text = await save()
      expect(readPlan(text).graft).toEqual(plan.graft)
      await choose('none')
      expect((await readPage(page)).assessment.graft).toBeNull()
      expect(JSON.parse(await save())).not.toHaveProperty('graft')
      await drop(page, { 'saved.json': new TextEncoder().encode(text) })
      await whenReady(page)
      expect((await readPage(page)).plan.graft).toEqual(plan.graft)
      expect((await readPage(page)).assessment.graft).not.toBeNull()
    })

    test('a layer is dragged by its ends, and stays where it is while the fixture moves', async () => {
      await choose('layer')
      const { plan, assessment } = await readPage(page)
      expect(assessment.graft?.built.volumeMm3).toBeGreaterThan(0)
      expect(differences(assessment, inNode(plan))).toEqual([])
      await holdHandle(page, 'graft-coronal', 0, 14)
      await whenMode(page, 'fast')
      const held = await readPage(page)
      expect(held.plan.graft).not.toEqual(plan.graft)
      expect(held.plan.fixture).toEqual(plan.fixture)
      expect(differences(held.assessment, inNode(held.plan, 'fast'))).toEqual([])
      await page.mouse.up()
      await whenReady(page)
      await undo()
      expect((await readPage(page)).plan).toEqual(plan)
      await dragHandle(page, 'apex', 10, 0)
      await whenReady(page)
      const moved = await readPage(page)
      expect(moved.plan.fixture).not.toEqual(plan.fixture)
      expect(moved.plan.graft).toEqual(plan.graft)
      await undo(2)
    })

    test('nothing was complained of', () => expect(complaints).toEqual([]))
  })

interface Triangles {
  readonly positions: readonly number[]
  readonly triangles: readonly number[]
}

/** By the divergence theorem: a sixth of the sum of the corners' triple products. */
function enclosedMm3({ positions, triangles }: Triangles): number {
  const corner = (n: number) => {
    const at = 3 * (triangles[n] ?? 0)
    return [positions[at] ?? 0, positions[at + 1] ?? 0, positions[at + 2] ?? 0] as const
  }
  let sum = 0
  for (let n = 0; n < triangles.length; n += 3) {
    const [[ax, ay, az], [bx, by, bz], [cx, cy, cz]] = [corner(n), corner(n + 1), corner(n + 2)]
    sum += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
  }
  return sum / 6
}

/** Edges that no other triangle runs along the other way. */
function openEdges(triangles: readonly number[]): number {
  const edges = new Map<string, number>()
  for (let n = 0; n < triangles.length; n += 3)
    for (const [from, to] of [
      [triangles[n], triangles[n + 1]],
      [triangles[n + 1], triangles[n + 2]],
      [triangles[n + 2], triangles[n]],
    ] as const) {
      const [a, b] = [from ?? 0, to ?? 0]
      const key = `${Math.min(a, b)} ${Math.max(a, b)}`
      edges.set(key, (edges.get(key) ?? 0) + (a < b ? 1 : -1))
    }
  return [...edges.values()].filter((sum) => sum !== 0).length
}
