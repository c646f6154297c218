import { describe, expect, test } from 'vitest'
import { type AssessProgress, assess, assessInSteps, boneModel } from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

const volume = ridge()
const bone = boneModel(volume)
const plan = uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [1.5, 0, 0] } })

describe('assess and assessInSteps', () => {
  for (const mode of ['fast', 'surface', 'refined'] as const)
    test(`${mode}: the same to the last digit, twice over and in steps`, async () => {
      const once = assess(volume, plan, { bone, mode })
      expect(once.margin.mode).toBe(mode)
      expect(assess(volume, plan, { bone, mode })).toEqual(once)
      expect(await assessInSteps(volume, plan, { bone, mode })).toEqual(once)
    })

  test('fast when no mode is asked for', async () => {
    expect(assess(volume, plan, { bone }).margin.mode).toBe('fast')
    expect((await assessInSteps(volume, plan, { bone })).margin.mode).toBe('fast')
  })

  test('the refined one pauses often and says how far it is', async () => {
    const told: AssessProgress[] = []
    let pauses = 0
    await assessInSteps(volume, plan, {
      bone,
      mode: 'refined',
      onProgress: (progress) => told.push(progress),
      pause: async () => {
        pauses++
      },
    })
    expect(pauses).toBeGreaterThan(20)
    expect(told).toHaveLength(pauses)
    const done = told.map(({ stage, done, total }) => {
      expect(stage).toBe('margin')
      return done / total
    })
    expect(done).toEqual([...done].sort((a, b) => a - b))
    expect(done[done.length - 1]).toBe(1)
  })

  test('aborted in a pause it stops there and throws the reason of the signal', async () => {
    const signal = { aborted: false, reason: new Error('a newer plan') }
    let pauses = 0
    const run = assessInSteps(volume, plan, {
      bone,
      mode: 'refined',
      signal,
      pause: async () => {
        pauses++
        signal.aborted = pauses === 3
      },
    })
    await expect(run).rejects.toBe(signal.reason)
    expect(pauses).toBe(3)
  })

  test('without a bone model its stages come first', async () => {
    const stages = new Set<string>()
    const assessment = await assessInSteps(ridge(), plan, {
      mode: 'refined',
      onProgress: ({ stage }) => stages.add(stage),
    })
    expect([...stages].at(-1)).toBe('margin')
    expect(stages.size).toBeGreaterThan(2)
    expect(assessment).toEqual(assess(volume, plan, { bone, mode: 'refined' }))
  })
})

describe('the refined margin beside a flat plate 2.5 mm from the axis, radius 2', () => {
  // Closed form: radial d / cos(phi) - r; nearest d - r; the plate is 2 mm thick.
  const { margin } = assess(volume, plan, { bone, mode: 'refined' })

  test('radial within 0.01 mm on every depth, nearest 0.50, plate 2.0', () => {
    for (const deg of [0, 30, 45, 315])
      for (const row of margin.radialMm)
        expect(
          Math.abs((row[deg / 5] ?? Number.NaN) - (2.5 / Math.cos((deg * Math.PI) / 180) - 2)),
        ).toBeLessThan(0.01)
    expect(Math.abs((margin.minimum?.nearestMm ?? Number.NaN) - 0.5)).toBeLessThan(0.01)
    expect(Math.abs((margin.sectors.facial.cortexMeanMm ?? Number.NaN) - 2)).toBeLessThan(0.02)
    expect(Math.abs((margin.nearestMm?.[20]?.[0] ?? Number.NaN) - 0.5)).toBeLessThan(0.01)
  })

  test('what is shown is the floor of 0.1 mm and the own half width, added in squares', () => {
    const { facial } = margin.sectors
    expect(facial.halfWidthMm).toBeLessThan(0.05)
    expect(margin.interval.floorMm).toBe(0.1)
    expect(margin.minimum?.uncertaintyMm).toBeCloseTo(Math.hypot(0.1, facial.halfWidthMm ?? 0), 9)
  })
})
