import {
  distance,
  fromFrame,
  fromRows,
  type Plan,
  toRows,
  transformDirection,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  apexOf,
  diameterOf,
  dragEnd,
  fixtureLengthMm,
  moveCrown,
  moveFixture,
  nudgeFixture,
  platformOffsetMm,
  setDepth,
  setDiameter,
  setLength,
  setPlatformOffset,
  setTilt,
  siteFrame,
  tiltCrown,
  tiltFixture,
  tiltOf,
  turnCrown,
} from '../src/session/index.js'
import { uprightPlan } from './plan.js'

const close = (a: Vec3, b: Vec3): void => {
  for (const n of [0, 1, 2] as const) expect(a[n]).toBeCloseTo(b[n], 9)
}
const lower: Plan = {
  ...uprightPlan,
  site: { tooth: '41', facial: [0, -1, 0], coronal: [0, 0, 1] },
  crown: {
    ...uprightPlan.crown,
    tooth: '41',
    pose: [0, -1, 0, 0, -1, 0, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1],
  } as Plan['crown'],
  fixture: { ...uprightPlan.fixture, platform: [0, 1, -3], apical: [0, 0, -1] },
}

test('moveFixture adds the vector and leaves the plan before alone', () => {
  const moved = moveFixture(uprightPlan, [1, 2, 3])
  close(moved.fixture.platform, [1, 3, 6])
  close(uprightPlan.fixture.platform, [0, 1, 3])
})

test('nudgeFixture goes facially (anterior), mesially (left of tooth 11) and apically (up)', () => {
  close(nudgeFixture(uprightPlan, [1, 2, 4]).fixture.platform, [2, 0, 7])
})

test('tooth 41: mesial is left, apical is down', () => {
  close(nudgeFixture(lower, [1, 2, 4]).fixture.platform, [2, 0, -7])
})

test('tilting by 30 degrees facially about the platform leans the coronal end to -y', () => {
  // The axis towards the apex is (0, sin 30, cos 30) then.
  const tilted = tiltFixture(uprightPlan, 'platform', 30, 0)
  close(tilted.fixture.apical, [0, 0.5, Math.sqrt(3) / 2])
  close(tilted.fixture.platform, uprightPlan.fixture.platform)
})

test('mesial tilt leans the coronal end of tooth 11 to the left', () => {
  close(tiltFixture(uprightPlan, 'platform', 0, 45).fixture.apical, [-Math.SQRT1_2, 0, Math.SQRT1_2])
})

test('the pivot stays where it is', () => {
  const apex = apexOf(uprightPlan)
  close(apexOf(tiltFixture(uprightPlan, 'apex', 12, -7)), apex)
  const centre = tiltFixture(uprightPlan, 'centre', 12, -7)
  const middle = (p: Plan): Vec3 =>
    p.fixture.platform.map((v, n) => v + 5 * (p.fixture.apical[n] as number)) as unknown as Vec3
  close(middle(centre), [0, 1, 8])
})

test('setTilt and tiltOf are inverse', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -75, max: 75, noNaN: true }),
      fc.double({ min: -75, max: 75, noNaN: true }),
      (f, m) => {
        const tilt = tiltOf(setTilt(uprightPlan, 'platform', { facialDeg: f, mesialDeg: m }))
        expect(tilt.facialDeg).toBeCloseTo(f, 8)
        expect(tilt.mesialDeg).toBeCloseTo(m, 8)
      },
    ),
  )
})

test('dragEnd keeps the other end and the length', () => {
  const byApex = dragEnd(uprightPlan, 'apex', [3, 1, 7])
  close(byApex.fixture.platform, [0, 1, 3])
  close(byApex.fixture.apical, [0.6, 0, 0.8])
  const byPlatform = dragEnd(uprightPlan, 'platform', [6, 1, 5])
  close(apexOf(byPlatform), [0, 1, 13])
  expect(distance(byPlatform.fixture.platform, apexOf(byPlatform))).toBeCloseTo(10, 9)
})

test('typed offsets are counted from the CEJ along facial, mesial and apical', () => {
  close(platformOffsetMm(uprightPlan), [-1, 0, 3])
  close(setPlatformOffset(uprightPlan, [1, 2, 4]).fixture.platform, [2, -1, 4])
  close(setDepth(uprightPlan, 5).fixture.platform, [0, 1, 5])
})

test('diameter and length change alone and stay within bounds', () => {
  expect(diameterOf(setDiameter(uprightPlan, 3.3).fixture.shape)).toBe(3.3)
  expect(diameterOf(setDiameter(uprightPlan, 99).fixture.shape)).toBe(8)
  expect(fixtureLengthMm(setLength(uprightPlan, 11.5))).toBe(11.5)
  expect(() => setLength(uprightPlan, Number.NaN)).toThrow(RangeError)
  const tapered = {
    ...uprightPlan,
    fixture: {
      ...uprightPlan.fixture,
      shape: { kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 10 },
    },
  } as Plan
  expect(setDiameter(tapered, 2).fixture.shape).toEqual({
    kind: 'tapered',
    diameterMm: 2,
    apexDiameterMm: 1.5,
    lengthMm: 10,
  })
})

test('moveCrown shifts, tiltCrown turns the edge facially about the CEJ', () => {
  const edge = (p: Plan): Vec3 => transformPoint(fromRows(p.crown.pose), [0, 0, -10])
  close(edge(moveCrown(uprightPlan, [1, 2, 3])), [1, 2, -7])
  close(edge(tiltCrown(uprightPlan, 90, 0)), [0, -10, 0])
  close(edge(tiltCrown(uprightPlan, 0, 90)), [10, 0, 0])
  close(edge(tiltCrown(lower, 90, 0)), [0, -10, 0])
  close(edge(tiltCrown(lower, 0, 90)), [10, 0, 0])
})

test('turnCrown turns the facial face mesially: left at 11 and at 41, right at 21', () => {
  const facial = (p: Plan): Vec3 => transformDirection(fromRows(p.crown.pose), [1, 0, 0])
  const left = { ...uprightPlan, site: { ...uprightPlan.site, tooth: '21' } }
  close(facial(turnCrown(uprightPlan, 90)), [1, 0, 0])
  close(facial(turnCrown(lower, 90)), [1, 0, 0])
  close(facial(turnCrown(left, 90)), [-1, 0, 0])
  const moved = moveCrown(uprightPlan, [1, 2, 3])
  close(transformPoint(fromRows(turnCrown(moved, 33).crown.pose), [0, 0, -10]), [1, 2, -7])
})

test('a mesh crown with a found frame counts from its cervical centre along its own axes', () => {
  const frame = toRows(fromFrame([0, -1, 0], [1, 0, 0], [0, 0, 1], [5, 6, 7]))
  const pose = toRows(fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 1]))
  const mesh: Plan = { ...uprightPlan, crown: { kind: 'mesh', file: 'crown.stl', pose, frame } }
  const site = siteFrame(mesh)
  close(site.origin, [6, 7, 8])
  close(site.facial, [0, -1, 0])
  close(site.apical, [0, 0, 1])
  close(siteFrame(tiltCrown(mesh, 20, 5)).origin, [6, 7, 8])
})
