import { describe, expect, test } from 'vitest'
import { crownFromMesh, fitToGap, plusYSide, sizeOf, tabulatedCrown } from '../src/crown/index.js'
import type { Mat4, Vec3 } from '../src/space/index.js'
import { angleDeg, column, distance, fromFrame, multiply, transformPoint } from '../src/space/index.js'

/** Tooth 11 somewhere in the mouth, leaning and turned. */
const POSE: Mat4 = multiply(
  fromFrame(
    [0, -Math.cos(0.4), -Math.sin(0.4)],
    [1, 0, 0],
    [0, -Math.sin(0.4), Math.cos(0.4)],
    [4.5, -60, 12],
  ),
  turned(0.2),
)

function turned(angle: number, origin: Vec3 = [0, 0, 0]): Mat4 {
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  return fromFrame([c, s, 0], [-s, c, 0], [0, 0, 1], origin)
}

const contacts = (crown: ReturnType<typeof tabulatedCrown>, pose: Mat4) => ({
  mesialContact: transformPoint(pose, crown.landmarks.mesialContact),
  distalContact: transformPoint(pose, crown.landmarks.distalContact),
})

describe('fitToGap with a crown of the table', () => {
  test.each(['11', '12', '23', '14', '25', '16', '31', '43', '36', '47'])(
    '%s: moved, turned and scaled, it is found again to 0.01 mm',
    (tooth) => {
      const size = { widthMdMm: 0.88 * sizeOf(tabulatedCrown(tooth)).widthMdMm }
      const goal = tabulatedCrown(tooth, size)
      const pose = multiply(POSE, turned(-0.35, [0.8, -1.1, 0.6]))
      const fit = fitToGap({ kind: 'tabulated', tooth, pose: POSE, ...contacts(goal, pose) })
      expect(Math.abs(fit.widthMm - size.widthMdMm)).toBeLessThan(0.01)
      expect(fit.changeMm).toBeCloseTo(fit.widthMm - sizeOf(tabulatedCrown(tooth)).widthMdMm, 9)
      expect(fit.leftMm).toBeCloseTo(0, 6)
      const crown = tabulatedCrown(tooth, fit.size ?? {})
      const own = contacts(crown, fit.pose)
      const wanted = contacts(goal, pose)
      expect(distance(own.mesialContact, wanted.mesialContact)).toBeLessThan(0.01)
      expect(distance(own.distalContact, wanted.distalContact)).toBeLessThan(0.01)
      for (const p of [[0, 0, 0], crown.landmarks.edgeCentre, crown.landmarks.zenith] as Vec3[])
        expect(distance(transformPoint(fit.pose, p), transformPoint(pose, p))).toBeLessThan(0.01)
      const mesial = plusYSide(tooth) === 'mesial' ? 1 : -1
      expect(fit.turnedDeg).toBeCloseTo((-0.35 * mesial * 180) / Math.PI, 6)
    },
  )

  test('a gap just as wide as the crown leaves it alone', () => {
    const fit = fitToGap({
      kind: 'tabulated',
      tooth: '11',
      pose: POSE,
      ...contacts(tabulatedCrown('11'), POSE),
    })
    expect(fit.changeMm).toBeCloseTo(0, 9)
    expect(fit.turnedDeg).toBeCloseTo(0, 9)
    fit.pose.forEach((v, i) => {
      expect(v).toBeCloseTo(POSE[i], 9)
    })
  })

  test('it is never tilted, and contacts of different heights are met at their mean', () => {
    const { mesialContact, distalContact } = contacts(tabulatedCrown('11'), POSE)
    const axis = column(POSE, 2)
    const lower: Vec3 = [0, 1, 2].map((i) => mesialContact[i] - 2 * axis[i]) as unknown as Vec3
    const fit = fitToGap({ kind: 'tabulated', tooth: '11', pose: POSE, mesialContact: lower, distalContact })
    expect(angleDeg(column(fit.pose, 2), axis)).toBeLessThan(1e-6)
    expect(fit.changeMm).toBeCloseTo(0, 9)
    const moved = distance(transformPoint(fit.pose, [0, 0, 0]), transformPoint(POSE, [0, 0, 0]))
    expect(moved).toBeCloseTo(1, 9)
  })

  test('sizes given stay, those that are not scale along with the width', () => {
    const wide = contacts(tabulatedCrown('11', { widthMdMm: 9.35 }), POSE)
    const free = fitToGap({ kind: 'tabulated', tooth: '11', pose: POSE, ...wide })
    expect(sizeOf(tabulatedCrown('11', free.size ?? {})).lengthMm).toBeCloseTo(11.55, 6)
    const fixed = fitToGap({ kind: 'tabulated', tooth: '11', pose: POSE, size: { lengthMm: 10 }, ...wide })
    expect(fixed.size?.lengthMm).toBe(10)
    expect(sizeOf(tabulatedCrown('11', fixed.size ?? {})).lengthMm).toBeCloseTo(10, 9)
  })

  test('the motion takes the old pose to the new one', () => {
    const wide = contacts(tabulatedCrown('11', { widthMdMm: 9 }), multiply(POSE, turned(0.3, [1, 2, 3])))
    const fit = fitToGap({ kind: 'tabulated', tooth: '11', pose: POSE, ...wide })
    multiply(fit.motion, POSE).forEach((v, i) => {
      expect(v).toBeCloseTo(fit.pose[i], 9)
    })
  })

  test('gaps that cannot be the tooth and contacts the wrong way round are refused with a remedy', () => {
    const { mesialContact, distalContact } = contacts(tabulatedCrown('11'), POSE)
    const ask = (m: Vec3, d: Vec3) => () =>
      fitToGap({ kind: 'tabulated', tooth: '11', pose: POSE, mesialContact: m, distalContact: d })
    const middle: Vec3 = [0, 1, 2].map((i) => (mesialContact[i] + distalContact[i]) / 2) as unknown as Vec3
    const from = (k: number): Vec3 =>
      [0, 1, 2].map((i) => middle[i] + k * (mesialContact[i] - middle[i])) as unknown as Vec3
    expect(ask(from(0.4), from(-0.4))).toThrow(/does not fit tooth 11.*mark the contact surfaces/)
    expect(ask(from(2.3), from(-2.3))).toThrow(RangeError)
    expect(ask(middle, middle)).toThrow(RangeError)
    expect(ask(distalContact, mesialContact)).toThrow(/wrong way round/)
  })
})

describe('fitToGap with a mesh', () => {
  const crown = crownFromMesh(tabulatedCrown('11').mesh, '11')

  test('it keeps its size, stands in the middle and says what is left: 0.6 mm', () => {
    const wide = contacts(tabulatedCrown('11', { widthMdMm: 9.1, lengthMm: 10.5, widthLlMm: 7 }), POSE)
    const fit = fitToGap({ kind: 'mesh', crown, pose: POSE, ...wide })
    expect(fit.size).toBeNull()
    expect(fit.changeMm).toBe(0)
    expect(fit.widthMm).toBeCloseTo(8.5, 9)
    expect(fit.leftMm).toBeCloseTo(0.6, 2)
    const own = contacts(crown, fit.pose)
    expect(distance(own.mesialContact, wide.mesialContact)).toBeCloseTo(0.3, 1)
    expect(distance(own.distalContact, wide.distalContact)).toBeCloseTo(0.3, 1)
  })

  test('a mesh that is too wide says by how much', () => {
    const narrow = contacts(tabulatedCrown('11', { widthMdMm: 8, lengthMm: 10.5, widthLlMm: 7 }), POSE)
    expect(fitToGap({ kind: 'mesh', crown, pose: POSE, ...narrow }).leftMm).toBeCloseTo(-0.5, 2)
  })
})
