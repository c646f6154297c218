import { defaultDeficitGraft, type GraftMeshes, type Plan } from '@alveometer/core'
import { expect, test } from 'vitest'
import { GraftShown } from '../src/chairside/graft-shown.js'
import { spoken } from '../src/chairside/spoken.js'
import { moveFixture, withGraft } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { graftedAssessment } from './grafted-assessment.js'
import { uprightPlan } from './plan.js'

const none = { positions: new Float64Array(0), triangles: new Uint32Array(0) }
const grafted = withGraft(uprightPlan, defaultDeficitGraft('11'))

/** A page whose engine answers when it is told to. */
function table() {
  const asked: { plan: Plan; stepMm: number; signal: AbortSignal; answer(meshes: GraftMeshes): void }[] = []
  return {
    asked,
    session: { plan: grafted, moving: false },
    measurement: { assessment: graftedAssessment, current: true },
    engine: {
      graftMeshes: (
        request: { plan: Plan; stepMm: number },
        { signal }: { signal?: AbortSignal } = {},
      ): Promise<GraftMeshes | null> =>
        new Promise((answer, refuse) => {
          if (signal === undefined) throw new Error('cannot be stopped')
          signal.addEventListener('abort', () => refuse(signal.reason))
          asked.push({ ...request, signal, answer })
        }),
    },
  }
}
const meshes = (): GraftMeshes => ({ built: none, kept: none })

test('the surfaces are made once for a plan, and not anew when its numbers are refined', async () => {
  const page = table()
  const shown = new GraftShown()
  const first = shown.follow(page)
  const made = meshes()
  page.asked[0]?.answer(made)
  expect(await first).toBe(true)
  expect(shown.meshes).toBe(made)
  expect(
    await shown.follow({
      ...page,
      measurement: { ...page.measurement, assessment: { ...graftedAssessment } },
    }),
  ).toBe(false)
  expect(page.asked.length).toBe(1)
})

test('while the hand moves a coarser one, one at a time; at rest the fine one and the coarse one is given up', async () => {
  const page = table()
  const shown = new GraftShown()
  page.session.moving = true
  page.session.plan = moveFixture(grafted, [0.1, 0, 0])
  const first = shown.follow(page)
  page.session.plan = moveFixture(grafted, [0.2, 0, 0])
  expect(await shown.follow(page)).toBe(false)
  expect(page.asked.map(({ plan }) => plan.fixture.platform[0])).toEqual([0.1])
  page.session.moving = false
  const last = shown.follow(page)
  expect(page.asked.map(({ signal }) => signal.aborted)).toEqual([true, false])
  expect(await first).toBe(false)
  page.asked[1]?.answer(meshes())
  expect(await last).toBe(true)
  const [coarse, fine] = page.asked.map(({ stepMm }) => stepMm)
  expect(fine).toBeLessThan(coarse ?? 0)
})

test('nothing is asked before the plan is measured; without a graft nothing is shown', async () => {
  const page = table()
  const shown = new GraftShown()
  page.measurement.current = false
  expect(await shown.follow(page)).toBe(false)
  page.measurement.current = true
  const first = shown.follow(page)
  page.asked[0]?.answer(meshes())
  await first
  page.session.plan = uprightPlan
  expect(await shown.follow(page)).toBe(true)
  expect(shown.meshes).toBeNull()
  page.session.plan = grafted
  page.measurement.assessment = madeUpAssessment
  expect(await shown.follow(page)).toBe(false)
  expect(page.asked.length).toBe(1)
})

test('what a graft makes of the least bone is spoken', () => {
  expect(spoken(madeUpAssessment)).not.toContain('graft')
  expect(spoken(graftedAssessment).replace(/\s/g, ' ')).toMatch(
    /; with the graft of 212 mm³ 2\.00 ±0\.12 mm$/,
  )
})
