import type { Assessment, Plan, Vec3 } from '@alveometer/core'
import { expect, test } from 'vitest'
import { boreOf } from '../src/section/crown-marks.js'
import { madeUpAssessment } from './assessment.js'
import { uprightPlan } from './plan.js'

/** A block of a crown in the section's plane: 6 mm orofacially about the axis, from 0 to 8 mm below the platform's 3. */
const block: readonly Vec3[] = [
  [0, -2, 0],
  [0, 4, 0],
  [0, 4, -8],
  [0, -2, -8],
]
const at = (exit: Vec3 | null): Assessment => ({
  ...madeUpAssessment,
  exit: { ...madeUpAssessment.exit, point: exit },
  channel: { ...madeUpAssessment.channel, diameterMm: 2.3 },
})
const leaning = (deg: number): Plan => {
  const angle = (deg * Math.PI) / 180
  return {
    ...uprightPlan,
    fixture: { ...uprightPlan.fixture, apical: [0, Math.sin(angle), Math.cos(angle)] },
  }
}

test('upright walls run from the base to the top of a block', () => {
  // Platform at z = 3, base at 0, top at -8.
  const bore = boreOf(leaning(0), at([0, 1, -8]), [block])
  expect(bore?.radiusMm).toBe(1.15)
  for (const run of [bore?.facial, bore?.oral]) {
    expect(run?.[0]).toBeCloseTo(-3, 9)
    expect(run?.[1]).toBeCloseTo(-11, 9)
  }
})

test('leaning walls end where lines of that slope meet the block', () => {
  const angle = (12 * Math.PI) / 180
  const bore = boreOf(leaning(12), at([0, 0, -8]), [block])
  // A wall r off an axis through the platform reaches a plane h below it after (h +- r sin a) / cos a. The axis leans
  // facially going down: the facial wall lies higher.
  const along = (h: number, r: number) => (h + r * Math.sin(angle)) / Math.cos(angle)
  const ends = [bore?.facial, bore?.oral].map((run) => run?.map((depth) => -depth))
  expect(ends[0]?.[0]).toBeCloseTo(along(3, 1.15), 9)
  expect(ends[1]?.[0]).toBeCloseTo(along(3, -1.15), 9)
  // The oral wall leaves by the top; the facial one, 1 + 1.15 off the block's middle and leaning out, by the face:
  // y = 1 - d sin a - r cos a = -2.
  expect(ends[1]?.[1]).toBeCloseTo(along(11, -1.15), 9)
  expect(ends[0]?.[1]).toBeCloseTo(
    Math.min(along(11, 1.15), (3 - 1.15 * Math.cos(angle)) / Math.sin(angle)),
    9,
  )
})

test('a platform inside the crown begins the channel; a wall past the crown has none', () => {
  const sunk: Plan = { ...leaning(0), fixture: { ...leaning(0).fixture, platform: [0, 1, -2] } }
  expect(boreOf(sunk, at([0, 1, -8]), [block])?.facial?.[0]).toBe(0)
  const beside: Plan = { ...leaning(0), fixture: { ...leaning(0).fixture, platform: [0, -1.5, 3] } }
  const bore = boreOf(beside, at([0, -1.5, -8]), [block])
  expect(bore?.facial).toBeNull()
  expect(bore?.oral?.[1]).toBeCloseTo(-11, 9)
  expect(boreOf(beside, at(null), [block])).toBeNull()
})
