import { defaultDeficitGraft, distance, dot, fixtureFrame, type Plan, subtract } from '@alveometer/core'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  defaultFreeGraft,
  defaultLoss,
  graftRanges,
  moveFixture,
  moveGraft,
  setDeficitGraft,
  setFreeGraft,
  setGraftLoss,
  withGraft,
} from '../src/session/index.js'
import { uprightPlan } from './plan.js'

const free: Plan = withGraft(uprightPlan, defaultFreeGraft(uprightPlan))
const deficit: Plan = withGraft(uprightPlan, defaultDeficitGraft('11'))

test('a graft that is taken away leaves the plan as it was', () => {
  expect(withGraft(free, null)).toEqual(uprightPlan)
  expect('graft' in withGraft(deficit, null)).toBe(false)
  expect(withGraft(uprightPlan, null)).toEqual(uprightPlan)
})

test('a layer starts on the facial side of the fixture, its coronal end as high as the platform', () => {
  const { graft, fixture, site } = free
  if (graft?.kind !== 'free') throw new Error('no layer')
  const from = subtract(graft.at, fixture.platform)
  const frame = fixtureFrame(fixture, site.facial)
  expect(dot(from, frame.x)).toBeCloseTo(2, 9)
  expect(dot(from, frame.y)).toBeCloseTo(0, 9)
  expect(dot(from, frame.z) - graft.heightMm / 2).toBeCloseTo(0, 9)
})

test('a layer is moved by itself and stays where it is when the fixture moves', () => {
  const there = moveGraft(free, [1, -2, 0.5])
  if (there.graft?.kind !== 'free' || free.graft?.kind !== 'free') throw new Error('no layer')
  expect(subtract(there.graft.at, free.graft.at)).toEqual([1, -2, 0.5])
  expect(there.fixture).toBe(free.fixture)
  expect(moveFixture(free, [3, 0, 0]).graft).toBe(free.graft)
  const back = moveGraft(there, [-1, 2, -0.5])
  if (back.graft?.kind !== 'free') throw new Error('no layer')
  expect(distance(back.graft.at, free.graft.at)).toBeLessThan(1e-12)
})

test('a change of another kind of graft, or of none, changes nothing', () => {
  expect(setFreeGraft(deficit, { widthMm: 5 })).toBe(deficit)
  expect(setDeficitGraft(free, { facialMm: 3 })).toBe(free)
  expect(moveGraft(deficit, [1, 0, 0])).toBe(deficit)
  expect(setGraftLoss(uprightPlan, defaultLoss('mm'))).toBe(uprightPlan)
})

test('sizes stay within their ranges whatever is asked for, and within them are taken as they are', () => {
  const wild = fc.double({ noNaN: true, min: -1e6, max: 1e6 })
  fc.assert(
    fc.property(wild, wild, wild, wild, (a, b, c, d) => {
      const f = setFreeGraft(free, { thicknessMm: a, heightMm: b, widthMm: c }).graft
      const g = setGraftLoss(setDeficitGraft(deficit, { facialMm: a, fromDepthMm: b }), {
        kind: 'share',
        share: d,
      }).graft
      if (f?.kind !== 'free' || g?.kind !== 'deficit' || g.loss.kind !== 'share') throw new Error('lost')
      for (const [value, asked, [low, high]] of [
        [f.thicknessMm, a, graftRanges.thicknessMm],
        [f.heightMm, b, graftRanges.heightMm],
        [f.widthMm, c, graftRanges.widthMm],
        [g.facialMm, a, graftRanges.facialMm],
        [g.fromDepthMm, b, graftRanges.fromDepthMm],
        [g.loss.share, d, graftRanges.share],
      ] as const) {
        expect(value).toBeGreaterThanOrEqual(low)
        expect(value).toBeLessThanOrEqual(high)
        if (asked >= low && asked <= high) expect(value === asked).toBe(true)
      }
    }),
  )
  expect(() => setFreeGraft(free, { widthMm: Number.NaN })).toThrow(/numbers/)
})
