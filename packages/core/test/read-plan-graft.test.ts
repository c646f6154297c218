import { describe, expect, test } from 'vitest'
import { checkPlan, PlanError, readPlan, writePlan } from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'

const DEFICIT = {
  kind: 'deficit',
  facialMm: 2,
  otherMm: 1.5,
  fromDepthMm: 0,
  natural: true,
  loss: { kind: 'share', share: 0.12 },
  overbuilt: true,
}
const FREE = {
  kind: 'free',
  at: [1, 2, 3],
  thicknessMm: 2,
  heightMm: 8,
  widthMm: 6,
  loss: { kind: 'mm', mm: 0.7 },
}

const withGraft = (graft: unknown): string => JSON.stringify({ ...uprightPlan(), graft })

test('a plan without a graft stays without one', () => {
  expect('graft' in readPlan(writePlan(uprightPlan()))).toBe(false)
})

test.each([DEFICIT, FREE])('every field of a $kind graft comes back, unknown ones too', (graft) => {
  const plan = { ...uprightPlan(), graft: { ...graft, material: 'own bone', loss: { ...graft.loss, at: 6 } } }
  expect(checkPlan(plan)).toBe(plan)
  expect(JSON.parse(writePlan(readPlan(JSON.stringify(plan))))).toEqual(plan)
})

test.each([
  ['facialMm', 0.5, 6],
  ['otherMm', 0, 6],
  ['fromDepthMm', -5, 20],
] as const)('%s of a deficit graft: %d to %d mm, ends included', (name, from, to) => {
  for (const mm of [from, to]) expect(() => readPlan(withGraft({ ...DEFICIT, [name]: mm }))).not.toThrow()
  for (const mm of [from - 0.01, to + 0.01])
    expect(() => readPlan(withGraft({ ...DEFICIT, [name]: mm }))).toThrow(
      `graft.${name} must be ${from} to ${to} mm, got ${mm}: `,
    )
})

test.each([
  ['thicknessMm', 0.1, 10],
  ['heightMm', 0.5, 20],
  ['widthMm', 0.5, 30],
] as const)('%s of a free graft: %d to %d mm, ends included', (name, from, to) => {
  for (const mm of [from, to]) expect(() => readPlan(withGraft({ ...FREE, [name]: mm }))).not.toThrow()
  for (const mm of [from - 0.01, to + 0.01])
    expect(() => readPlan(withGraft({ ...FREE, [name]: mm }))).toThrow(
      `graft.${name} must be ${from} to ${to} mm, got ${mm}: `,
    )
})

describe('readPlan(bad graft) names the place and what is wrong', () => {
  const cases: [graft: unknown, says: RegExp][] = [
    [7, /graft must be an object, got 7/],
    [null, /graft must be an object, got null/],
    [{ ...DEFICIT, kind: 'block' }, /graft\.kind must be "deficit" or "free", got "block"/],
    [{ ...DEFICIT, facialMm: '2' }, /graft\.facialMm must be a number, got "2"/],
    [{ ...DEFICIT, otherMm: undefined }, /graft\.otherMm must be a number, got undefined/],
    [{ ...DEFICIT, natural: 1 }, /graft\.natural must be true or false, got 1/],
    [{ ...DEFICIT, overbuilt: undefined }, /graft\.overbuilt must be true or false, got undefined/],
    [{ ...DEFICIT, loss: undefined }, /graft\.loss must be an object, got undefined/],
    [{ ...DEFICIT, loss: { kind: 'half' } }, /graft\.loss\.kind must be "share" or "mm", got "half"/],
    [
      { ...DEFICIT, loss: { kind: 'share', share: 12 } },
      /graft\.loss\.share must be 0 to 0\.6, got 12: .* 0\.12 for 12 %/,
    ],
    [{ ...FREE, loss: { kind: 'mm', mm: -1 } }, /graft\.loss\.mm must be 0 to 3 mm, got -1: .* 0\.5 to 1 mm/],
    [{ ...FREE, loss: { kind: 'mm', share: 0.1 } }, /graft\.loss\.mm must be a number, got undefined/],
    [{ ...FREE, at: [1, 2] }, /graft\.at must be three numbers, got \[1,2\]/],
    [{ ...FREE, at: [1, 2, null] }, /graft\.at\[2\] must be a number, got null/],
    [{ ...FREE, thicknessMm: 25 }, /graft\.thicknessMm must be 0\.1 to 10 mm, got 25: across the surface/],
  ]
  for (const [graft, says] of cases)
    test(JSON.stringify(graft), () => {
      expect(() => readPlan(withGraft(graft))).toThrow(says)
      expect(() => readPlan(withGraft(graft))).toThrow(PlanError)
    })
})
