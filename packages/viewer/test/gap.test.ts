import { fromRows, type Plan, placedCrown, tabulatedCrown, transformPoint, type Vec3 } from '@alveometer/core'
import { expect, test } from 'vitest'
import { fittedToGap } from '../src/crown-form/gap.js'
import { markNeighbour } from '../src/session/index.js'
import { uprightPlan } from './plan.js'

const between = (mesial: Vec3, distal: Vec3): Plan =>
  markNeighbour(markNeighbour(uprightPlan, 'mesial', 'contact', mesial), 'distal', 'contact', distal)
const fit = (plan: Plan) => fittedToGap(plan, placedCrown(plan, undefined))

test('nothing is fitted while a contact is not marked', () => {
  const one = markNeighbour(uprightPlan, 'mesial', 'contact', [4, 0, -6])
  expect(fit(one)).toBeNull()
})

test('a gap of 8 mm, a little facial: the contacts of the crown lie there, the size is in the plan', () => {
  const plan = between([4, -0.5, -6], [-4, -0.5, -6])
  const found = fit(plan)
  if (found?.plan?.crown.kind !== 'tabulated') throw new Error('no fit')
  const { crown } = found.plan
  const { landmarks } = tabulatedCrown(crown.tooth, crown.size)
  const [mesial, distal] = [landmarks.mesialContact, landmarks.distalContact].map((p) =>
    transformPoint(fromRows(crown.pose), p),
  )
  // Seen along the long axis, which is the head's vertical here.
  for (const [at, x] of [
    [mesial, 4],
    [distal, -4],
  ] as const) {
    expect(at?.[0]).toBeCloseTo(x, 2)
    expect(at?.[1]).toBeCloseTo(-0.5, 2)
  }
  expect(found.words.replace(/\s/g, ' ')).toContain('Gap 8.00 mm; crown 8.0')
})

test('a gap that no 11 fills changes nothing and says why', () => {
  const found = fit(between([12, 0, -6], [-12, 0, -6]))
  expect(found?.plan).toBeNull()
  expect(found?.problem).toContain('24.00 mm')
})
