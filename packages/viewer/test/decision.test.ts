import { chartSpec, guidedError, type Plan, placedCrown, type TiltChart } from '@alveometer/core'
import { beforeEach, expect, test } from 'vitest'
import { adoptedPlan, isAdopted } from '../src/decision/adopt.js'
import { Decision, type DecisionTable } from '../src/decision/decision.js'
import { placeIn, poseIn } from '../src/decision/kept-chart.js'
import { moveFixture, tiltFixture } from '../src/session/index.js'
import { madeUpCloud } from './miss-cloud-made-up.js'
import { uprightPlan } from './plan.js'
import { madeUpWays } from './ways-out-made-up.js'

/** An engine that answers when it is told to. */
class Puppet {
  readonly asked: { readonly what: string; readonly signal: AbortSignal; answer(result: unknown): void }[] =
    []
  readonly #ask =
    (what: string) =>
    (_: unknown, { signal }: { readonly signal?: AbortSignal } = {}): Promise<never> =>
      new Promise((resolve, reject) => {
        const own = signal ?? new AbortController().signal
        own.addEventListener('abort', () => reject(new DOMException('stopped', 'AbortError')))
        this.asked.push({ what, signal: own, answer: (result) => resolve(result as never) })
      })
  readonly chart = this.#ask('chart')
  readonly ways = this.#ask('ways')
  readonly cloud = this.#ask('cloud')
  readonly pictures = this.#ask('pictures')

  get running(): string[] {
    return this.asked.filter(({ signal }) => !signal.aborted).map(({ what }) => what)
  }

  async answer(result: unknown): Promise<void> {
    this.asked.shift()?.answer(result)
    for (let n = 0; n < 6; n++) await Promise.resolve()
  }
}

const spec = chartSpec('tilt', 'platform')
const chartOf = (plan: Plan): TiltChart =>
  ({
    spec,
    pivot: plan.fixture.platform,
    coarseness: 1,
    present: { column: 0, row: 0 },
  }) as unknown as TiltChart

let engine: Puppet
let table: { -readonly [K in keyof DecisionTable]: DecisionTable[K] } | null
let decision: Decision

const put = (plan: Plan, resting = true): void => {
  table = { engine, plan, placed: placedCrown(plan), resting }
  decision.ask()
}

beforeEach(() => {
  engine = new Puppet()
  table = null
  decision = new Decision(
    () => table,
    () => {},
    { spec, error: guidedError() },
  )
  decision.part = 'chart'
})

test('nothing is worked out while it is closed, nothing is on the table, or the hand moves', () => {
  decision.ask()
  put(uprightPlan, false)
  decision.part = null
  put(uprightPlan)
  expect(engine.running).toEqual([])
})

test('the part looked at comes first, the others after it, one at a time', async () => {
  decision.part = 'cloud'
  put(uprightPlan)
  expect(engine.running).toEqual(['cloud'])
  await engine.answer(madeUpCloud())
  expect(decision.stale('cloud')).toBe(false)
  expect(engine.running).toEqual(['chart'])
  await engine.answer(chartOf(uprightPlan))
  expect(engine.running).toEqual(['ways'])
  await engine.answer(madeUpWays())
  await engine.answer({})
  expect(engine.running).toEqual([])
  expect(decision.ways?.ways).toHaveLength(4)
})

test('another plan stops what runs, and what is shown is told to be of an earlier one', async () => {
  put(uprightPlan)
  await engine.answer(chartOf(uprightPlan))
  expect(decision.stale('chart')).toBe(false)
  const stopped = engine.asked[0]?.signal
  put(moveFixture(uprightPlan, [1, 0, 0]))
  expect(decision.stale('chart')).toBe(true)
  // The ways do not depend on where the fixture stands now.
  expect(stopped?.aborted).toBe(false)
  put({ ...uprightPlan, limits: { marginMm: 1.3 } })
  expect(stopped?.aborted).toBe(true)
})

test('a fixture that moves within its chart keeps the chart', async () => {
  put(uprightPlan)
  await engine.answer(chartOf(uprightPlan))
  const { kept } = decision
  if (kept === null) throw new Error('no chart was kept')
  const fixture = { ...uprightPlan.fixture, ...poseIn(kept, { column: -12, row: 4 }) }
  const moved = { ...uprightPlan, fixture }
  put(moved)
  expect(decision.stale('chart')).toBe(false)
  expect(decision.chart?.present.column).toBeCloseTo(-12, 9)
  expect(decision.chart?.present.row).toBeCloseTo(4, 9)
  expect(placeIn(kept, tiltFixture(moved, 'apex', 3, 0))).toBeNull()
})

test('what could not be worked out says why and is not asked again', async () => {
  put(uprightPlan)
  const { signal } = engine.asked[0] ?? {}
  expect(signal?.aborted).toBe(false)
  engine.asked.shift()?.answer(Promise.reject(new Error('no memory')))
  for (let n = 0; n < 6; n++) await Promise.resolve()
  expect(decision.trouble.chart).toBe('no memory')
  expect(engine.running).toEqual(['ways'])
})

test('another error or other limits ask for another cloud alone', async () => {
  decision.part = 'cloud'
  put(uprightPlan)
  await engine.answer(madeUpCloud())
  await engine.answer(chartOf(uprightPlan))
  await engine.answer(madeUpWays())
  await engine.answer({})
  decision.counted = 'bone-and-access'
  expect(engine.running).toEqual(['cloud'])
})

test('adopting a way with a graft plans one, adopting another takes it out', () => {
  const { ways } = madeUpWays()
  const [straight, withGraft] = ways
  if (straight === undefined || withGraft === undefined) throw new Error('no ways')
  const grafted = adoptedPlan(uprightPlan, withGraft)
  expect(grafted.graft?.kind).toBe('deficit')
  expect(isAdopted(grafted, withGraft)).toBe(true)
  expect(isAdopted(grafted, straight)).toBe(false)
  expect('graft' in adoptedPlan(grafted, straight)).toBe(false)
})
