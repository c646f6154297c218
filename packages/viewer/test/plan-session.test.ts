import type { Plan } from '@alveometer/core'
import { expect, test } from 'vitest'
import { moveFixture, type PlanChangeEvent, PlanSession } from '../src/session/index.js'
import { uprightPlan } from './plan.js'

const at = (mm: number): Plan => moveFixture(uprightPlan, [mm, 0, 0])

test('undo and redo walk over single updates', () => {
  const session = new PlanSession(at(0))
  const [one, two] = [at(1), at(2)]
  session.update(one)
  session.update(two)
  session.undo()
  expect(session.plan).toBe(one)
  session.redo()
  expect(session.plan).toBe(two)
  expect(session.canRedo).toBe(false)
})

test('a whole drag is one step', () => {
  const start = at(0)
  const session = new PlanSession(start)
  session.begin()
  for (let n = 1; n <= 50; n++) session.update(at(n))
  session.commit()
  session.undo()
  expect(session.plan).toBe(start)
  expect(session.canUndo).toBe(false)
})

test('a drag that ends where it began, or is broken off, leaves no step', () => {
  const start = at(0)
  const session = new PlanSession(start)
  session.begin()
  session.commit()
  session.begin()
  session.update(at(3))
  session.cancel()
  expect(session.plan).toBe(start)
  expect(session.canUndo).toBe(false)
})

test('a new change forgets what could be redone', () => {
  const session = new PlanSession(at(0))
  session.update(at(1))
  session.undo()
  session.update(at(2))
  expect(session.canRedo).toBe(false)
})

test('undo in the middle of a drag takes the drag back and the step before it', () => {
  const start = at(0)
  const session = new PlanSession(start)
  session.update(at(1))
  session.begin()
  session.update(at(2))
  session.undo()
  expect(session.plan).toBe(start)
  expect(session.moving).toBe(false)
})

test('listeners hear the plan and whether the hand still moves', () => {
  const session = new PlanSession(at(0))
  const heard: boolean[] = []
  session.addEventListener('plan-change', (e) => heard.push((e as PlanChangeEvent).detail.moving))
  session.begin()
  session.update(at(1))
  session.commit()
  session.undo()
  expect(heard).toEqual([true, false, false])
})
