import type { Plan } from '@alveometer/core'
import { beforeEach, expect, test } from 'vitest'
import { Measurement } from '../src/chairside/measurement.js'
import { Engine } from '../src/engine/engine.js'
import type { EngineReply, EngineRequest, ScanFacts } from '../src/engine/protocol.js'
import { moveFixture, PlanSession } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { uprightPlan } from './plan.js'

/** A worker that answers when it is told to. Refined numbers of a plan are told by where its platform lies. */
class Puppet extends EventTarget {
  readonly heard: EngineRequest[] = []

  postMessage(request: EngineRequest): void {
    this.heard.push(request)
  }

  terminate(): void {}

  say(reply: EngineReply): Promise<void> {
    this.dispatchEvent(new MessageEvent('message', { data: reply }))
    return new Promise((done) => setTimeout(done))
  }

  /** The ops heard since the last look, each with the platform's x where there is a plan. */
  ops(): string[] {
    return this.heard
      .splice(0)
      .map(
        (r) =>
          ('plan' in r ? `${r.op} ${r.plan.fixture.platform[0]}` : r.op) +
          (r.op === 'frame' && !r.measure ? ' picture' : ''),
      )
  }
}

const facts = { spacingMm: [0.2, 0.2, 0.2] } as unknown as ScanFacts
const plane = { origin: [0, 0, 0], du: [0.2, 0, 0], dv: [0, 0.2, 0], width: 9, height: 9 } as const
const at = (x: number): Plan => ({
  ...uprightPlan,
  fixture: { ...uprightPlan.fixture, platform: [x, 1, 3] },
})
const numbers = (mode: 'fast' | 'refined', radialMm: number) => {
  const { margin } = madeUpAssessment
  const minimum = { ...margin.minimum, radialMm }
  return { ...madeUpAssessment, margin: { ...margin, mode, minimum } }
}

let puppet: Puppet
let session: PlanSession
let measurement: Measurement
let table: { session: PlanSession; facts: ScanFacts; missing: string | null }
let id = 0

beforeEach(async () => {
  puppet = new Puppet()
  session = new PlanSession(at(0))
  id = 0
  const engine = new Engine(() => puppet as unknown as Worker, 'about:blank')
  table = { session, facts, missing: null }
  measurement = new Measurement(engine, table, () => undefined)
  session.addEventListener('plan-change', () => measurement.ask())
  const prepared = measurement.prepare({})
  await answer(null)
  await prepared
  puppet.ops()
  measurement.ask()
})

/** Answers the next request that was made, in their order. */
const answer = (result: unknown): Promise<void> => puppet.say({ kind: 'done', id: ++id, result })
const shown = () =>
  `${measurement.assessment?.margin.mode} ${measurement.assessment?.margin.minimum?.radialMm}`

test('fast numbers come first, refined ones of the same plan take their place', async () => {
  expect(puppet.ops()).toEqual(['frame 0'])
  await answer(numbers('fast', 1))
  expect([shown(), measurement.doing, measurement.current]).toEqual(['fast 1', 'refining', true])
  expect(puppet.ops()).toEqual(['refine 0'])
  await answer(numbers('refined', 1.01))
  expect([shown(), measurement.doing, measurement.current]).toEqual(['refined 1.01', '', true])
  measurement.ask()
  expect(puppet.ops()).toEqual([])
})

test('nothing is refined while the hand moves; the plan at rest is', async () => {
  await answer(numbers('fast', 1))
  await answer(numbers('refined', 1.01))
  puppet.ops()
  session.begin()
  session.update(at(1))
  await answer(numbers('fast', 2))
  expect([shown(), measurement.doing, measurement.current]).toEqual(['fast 2', 'moving', true])
  expect(puppet.ops()).toEqual(['frame 1'])
  session.commit()
  expect(puppet.ops()).toEqual(['refine 1'])
  await answer(numbers('refined', 2.01))
  expect(shown()).toBe('refined 2.01')
})

test('a newer plan stops the refining before it is measured itself', async () => {
  await answer(numbers('fast', 1))
  puppet.ops()
  session.update(at(1))
  expect(puppet.ops()).toEqual(['abort', 'frame 1'])
  // The refined numbers were on their way already: they are of the plan before.
  await answer(numbers('refined', 1.01))
  expect([shown(), measurement.current]).toEqual(['fast 1', false])
  await answer(numbers('fast', 2))
  expect(puppet.ops()).toEqual(['refine 1'])
  await answer(numbers('refined', 2.01))
  expect(shown()).toBe('refined 2.01')
})

test('undo, redo and a plan opened end in refined numbers', async () => {
  session.update(at(1))
  await answer(numbers('fast', 1))
  await answer(numbers('fast', 2))
  await answer(numbers('refined', 2.01))
  for (const step of [() => session.undo(), () => session.redo(), () => session.update(at(5))]) {
    step()
    await answer(numbers('fast', 3))
    expect(shown()).toBe('fast 3')
    await answer(numbers('refined', 3.01))
    expect(shown()).toBe('refined 3.01')
  }
})

test('there and back while a frame is in flight: the numbers of the plan between stay nowhere', async () => {
  await answer(numbers('fast', 1))
  session.update(at(1))
  session.undo()
  expect(puppet.ops()).toEqual(['frame 0', 'refine 0', 'abort', 'frame 1', 'refine 0'])
  id++
  await answer(numbers('fast', 2))
  expect([shown(), measurement.current]).toEqual(['fast 2', false])
  expect(puppet.ops()).toEqual(['abort', 'frame 0'])
  id++
  await answer(numbers('fast', 1))
  expect(puppet.ops()).toEqual(['refine 0'])
  await answer(numbers('refined', 1.01))
  expect([shown(), measurement.doing, measurement.unrefined]).toEqual(['refined 1.01', '', ''])
})

test('a picture alone does not stop the refining', async () => {
  await answer(numbers('fast', 1))
  measurement.setPlane('collar', plane)
  expect(puppet.ops()).toEqual(['frame 0', 'refine 0', 'frame 0 picture'])
  await puppet.say({ kind: 'done', id: 4, result: null })
  await answer(numbers('refined', 1.01))
  expect(shown()).toBe('refined 1.01')
})

test('what cannot be refined stays fast, says why, and is not tried again', async () => {
  await answer(numbers('fast', 1))
  const fault = { name: 'RangeError', code: 'plan', message: 'made to fail', report: [] }
  await puppet.say({ kind: 'failed', id: ++id, fault })
  expect([shown(), measurement.doing, measurement.unrefined]).toEqual(['fast 1', '', 'made to fail'])
  puppet.ops()
  measurement.ask()
  expect(puppet.ops()).toEqual([])
  session.update(moveFixture(session.plan, [0, 0, 1]))
  await answer(numbers('fast', 2))
  expect(measurement.unrefined).toBe('')
})

test('another scan: nothing is kept, the refining of the one before is stopped', async () => {
  await answer(numbers('fast', 1))
  puppet.ops()
  measurement.clear()
  expect(puppet.ops()).toEqual(['abort'])
  expect([measurement.assessment, measurement.prepared]).toEqual([null, false])
})

test('while a file that the plan needs is missing there are pictures and no numbers; once it is here all goes on', async () => {
  await answer(numbers('fast', 1))
  await answer(numbers('refined', 1.01))
  puppet.ops()
  table.missing = 'crown.stl'
  measurement.ask()
  expect([measurement.assessment, measurement.doing]).toEqual([null, ''])
  measurement.setPlane('collar', plane)
  expect(puppet.ops()).toEqual(['frame 0 picture'])
  await answer(null)
  table.missing = null
  measurement.ask()
  expect(puppet.ops()).toEqual(['frame 0'])
  await answer(numbers('fast', 3))
  expect(shown()).toBe('fast 3')
})
