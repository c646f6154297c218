import { checkPlan, crownNorm, fromRows, transformPoint } from '@alveometer/core'
import { expect, test } from 'vitest'
import { crownStandOf, defaultPlan, platformOffsetMm, siteFrame, tiltOf } from '../src/session/index.js'
import { teeth } from '../src/text/index.js'

const place = {
  seriesUid: '2.25.1',
  frameOfReferenceUid: '2.25.2',
  fingerprint: '',
  centre: [3, -4, 5],
} as const

for (const tooth of teeth)
  test(`a new plan for ${tooth}: the crown leans by the norm, the fixture follows its axis 3 mm below it`, () => {
    const plan = defaultPlan(place, tooth)
    expect(() => checkPlan(plan)).not.toThrow()
    const { facialDeg, mesialDeg, rotationDeg } = crownStandOf(plan)
    expect(facialDeg).toBeCloseTo(crownNorm(tooth).tiltFacialDeg, 9)
    expect(mesialDeg).toBeCloseTo(0, 9)
    expect(rotationDeg).toBeCloseTo(0, 9)
    expect(tiltOf(plan).facialDeg).toBeCloseTo(0, 9)
    expect(tiltOf(plan).mesialDeg).toBeCloseTo(0, 9)
    const [, mesialMm] = platformOffsetMm(plan)
    expect(mesialMm).toBeCloseTo(0, 9)
    const { platform, apical } = plan.fixture
    expect(platform.map((v, n) => v + 5 * (apical[n] as number))).toEqual(
      place.centre.map((v) => expect.closeTo(v, 9)),
    )
    const origin = transformPoint(fromRows(plan.crown.pose), [0, 0, 0])
    expect(siteFrame(plan).origin).toEqual(origin)
  })

test('the tooth on the other side stands as the mirror image', () => {
  const [right, left] = ['12', '22'].map((tooth) => defaultPlan({ ...place, centre: [0, 0, 0] }, tooth))
  const mirrored = right?.fixture.apical.map((v, n) => (n === 0 ? -v : v))
  expect(left?.fixture.apical).toEqual(mirrored?.map((v) => expect.closeTo(v, 12)))
})
