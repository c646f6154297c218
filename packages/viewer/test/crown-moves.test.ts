import {
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
  crownOffsetMm,
  crownStandOf,
  markCrown,
  markNeighbour,
  setBendPivot,
  setCrownOffset,
  setCrownRotation,
  setCrownSize,
  setCrownStand,
  setCrownTilt,
  setGreatestCorrection,
  siteFrame,
  tiltCrown,
  turnCrown,
} from '../src/session/index.js'
import { uprightPlan } from './plan.js'

const close = (a: Vec3, b: Vec3): void => {
  for (const n of [0, 1, 2] as const) expect(a[n]).toBeCloseTo(b[n], 9)
}
const at21: Plan = { ...uprightPlan, site: { ...uprightPlan.site, tooth: '21' } }
const meshPlan: Plan = {
  ...uprightPlan,
  crown: {
    kind: 'mesh',
    file: 'crown.stl',
    pose: toRows(fromFrame([0, 0, 1], [1, 0, 0], [0, 1, 0], [4, 5, 6])),
    frame: toRows(fromFrame([0, 0, -1], [0, 1, 0], [1, 0, 0], [1, 2, 3])),
  },
}

test('a crown that stands as its site says has no tilt and no rotation', () => {
  const { facialDeg, mesialDeg, rotationDeg } = crownStandOf(uprightPlan)
  close([facialDeg, mesialDeg, rotationDeg], [0, 0, 0])
})

test('tilted by 30 degrees facially the incisal edge of 11 goes to the front by half the length', () => {
  const tilted = setCrownTilt(uprightPlan, { facialDeg: 30 })
  close(transformPoint(fromRows(tilted.crown.pose), [0, 0, -10]), [0, -5, -5 * Math.sqrt(3)])
})

test('turned by 90 degrees the facial face looks mesially: left at 11, right at 21', () => {
  const facial = (plan: Plan): Vec3 => transformDirection(fromRows(plan.crown.pose), [1, 0, 0])
  close(facial(setCrownRotation(uprightPlan, 90)), [1, 0, 0])
  close(facial(setCrownRotation(at21, 90)), [-1, 0, 0])
  expect(crownStandOf(turnCrown(setCrownRotation(at21, 20), 5)).rotationDeg).toBeCloseTo(25, 9)
})

test('tiltCrown adds to the tilt as it is read', () => {
  expect(crownStandOf(tiltCrown(uprightPlan, 12, 0)).facialDeg).toBeCloseTo(12, 9)
  expect(crownStandOf(tiltCrown(at21, 0, -7)).mesialDeg).toBeCloseTo(-7, 9)
})

test('what is set is what is read, for tabulated and mesh crowns; the cervical centre stays', () => {
  const angle = fc.double({ min: -75, max: 75, noNaN: true })
  const turn = fc.double({ min: -175, max: 175, noNaN: true })
  fc.assert(
    fc.property(angle, angle, turn, fc.constantFrom(uprightPlan, at21, meshPlan), (f, m, r, plan) => {
      const set = setCrownStand(plan, { facialDeg: f, mesialDeg: m, rotationDeg: r })
      const { facialDeg, mesialDeg, rotationDeg } = crownStandOf(set)
      expect(facialDeg).toBeCloseTo(f, 7)
      expect(mesialDeg).toBeCloseTo(m, 7)
      expect(rotationDeg).toBeCloseTo(r, 7)
      close(siteFrame(set).origin, siteFrame(plan).origin)
    }),
  )
})

test('the place of the crown is counted from the platform, along the site, and typed back', () => {
  close(crownOffsetMm(uprightPlan), [1, 0, 3])
  const moved = setCrownOffset(uprightPlan, [2, 1, 3.5])
  close(siteFrame(moved).origin, [1, -1, -0.5])
  close(crownOffsetMm(setCrownOffset(meshPlan, [0.5, -1, 2])), [0.5, -1, 2])
})

test('a size is kept within half and double the table (11: 10.5 mm long, 8.5 wide, 7 deep) and given up by null', () => {
  const sized = setCrownSize(setCrownSize(uprightPlan, { widthMdMm: 8 }), { lengthMm: 99 })
  expect(sized.crown).toMatchObject({ size: { widthMdMm: 8, lengthMm: 21 } })
  expect(setCrownSize(uprightPlan, { widthLlMm: 1 }).crown).toMatchObject({ size: { widthLlMm: 3.5 } })
  expect(setCrownSize(sized, null)).toEqual(uprightPlan)
  expect(setCrownSize(meshPlan, { lengthMm: 9 })).toBe(meshPlan)
  expect(() => setCrownSize(uprightPlan, { lengthMm: Number.NaN })).toThrow(RangeError)
})

test('limits of the channel stay in range; the default leaves nothing in the plan', () => {
  expect(setBendPivot(uprightPlan, 9).limits).toEqual({ bendPivotMm: 4 })
  expect(setBendPivot(setBendPivot(uprightPlan, 2), 3).limits).toEqual({})
  expect(setGreatestCorrection(uprightPlan, 28).limits).toEqual({ correctionDeg: 28 })
})

test('marks of neighbours come and go one by one', () => {
  const both = markNeighbour(
    markNeighbour(uprightPlan, 'mesial', 'contact', [4, 0, 0]),
    'mesial',
    'cej',
    [4, -2, 2],
  )
  expect(both.site.neighbours).toEqual({ mesial: { contact: [4, 0, 0], cej: [4, -2, 2] } })
  expect(markNeighbour(both, 'mesial', 'contact', null).site.neighbours).toEqual({
    mesial: { cej: [4, -2, 2] },
  })
})

test('a mark on a mesh crown is kept in its own coordinates', () => {
  const marked = markCrown(meshPlan, 'zenith', [4, 5, 6])
  if (marked.crown.kind !== 'mesh') throw new Error('no mesh')
  close(marked.crown.marks?.zenith ?? [9, 9, 9], [0, 0, 0])
  const one = markCrown(meshPlan, 'zenith', [5, 5, 6])
  close((one.crown.kind === 'mesh' && one.crown.marks?.zenith) || [9, 9, 9], [0, 1, 0])
  expect(markCrown(marked, 'zenith', null).crown).toMatchObject({ marks: {} })
})
