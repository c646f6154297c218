import { describe, expect, test } from 'vitest'
import { archFacial, archFacialDeg, crownNorm, startingCrownPose } from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { angleDeg, column, cross, dot, length, scale, subtract, transformPoint } from '../src/space/index.js'

// Published means: Dempster 1963 for long axes, Andrews 1972 and the northern Thai norms for the facial face.

test('crownNorm(11): 28 degrees facial by Dempster; +7 by Andrews, +8.2 in northern Thailand', () => {
  const norm = crownNorm('11')
  expect(norm.tiltFacialDeg).toBe(28)
  expect(norm.rotationDeg).toBe(0)
  expect(norm.source).toContain('Dempster')
  const of = (source: string) => norm.published.find((p) => p.source.includes(source))
  expect(of('Dempster')).toMatchObject({ what: 'long-axis-tilt', deg: 28 })
  expect(of('Andrews')).toMatchObject({ what: 'crown-inclination', deg: 7 })
  expect(of('Thai')).toMatchObject({ what: 'crown-inclination', deg: 8.2 })
})

test('upper crowns and lower front crowns lean facially, lower back crowns lingually', () => {
  const tilts = (quadrant: number) =>
    [1, 2, 3, 4, 5, 6, 7, 8].map((place) => crownNorm(`${quadrant}${place}`).tiltFacialDeg)
  expect(tilts(1)).toEqual([28, 26, 16, 5, 6, 8, 10, 10])
  expect(tilts(3)).toEqual([22, 23, 12, -9, -9, -20, -20, -20])
  expect(tilts(2)).toEqual(tilts(1))
  expect(tilts(4)).toEqual(tilts(3))
  expect(crownNorm('18').source).toContain('second molar')
  expect(() => crownNorm('19')).toThrow('"19"')
})

describe('the mean arch', () => {
  test('turns further outward with every tooth, from nearly ahead to sideways', () => {
    for (const quadrant of [1, 2, 3, 4]) {
      const turns = [1, 2, 3, 4, 5, 6, 7].map((place) => archFacialDeg(`${quadrant}${place}`))
      expect([...turns].sort((a, b) => a - b)).toEqual(turns)
      expect(turns[0]).toBeGreaterThan(5)
      expect(turns[0]).toBeLessThan(25)
      expect(turns[6]).toBeGreaterThan(70)
      expect(turns[6]).toBeLessThanOrEqual(90)
    }
  })

  test('faces to the patient own side: LPS +x is left, -y ahead', () => {
    for (const [tooth, sign] of [
      ['13', -1],
      ['23', 1],
      ['33', 1],
      ['43', -1],
    ] as const) {
      const facial = archFacial(tooth)
      expect(Math.sign(facial[0])).toBe(sign)
      expect(facial[1]).toBeLessThan(0)
      expect(length(facial)).toBeCloseTo(1, 12)
    }
  })
})

describe('startingCrownPose', () => {
  const at: Vec3 = [4, -60, 12]

  test('leans by the norm, keeps its cervical centre where told, and stays a proper frame', () => {
    for (const tooth of ['11', '22', '36', '44']) {
      const coronal: Vec3 = tooth < '30' ? [0, 0, -1] : [0, 0.1, 1]
      const facial = archFacial(tooth)
      const pose = startingCrownPose({ tooth, facial, coronal }, at)
      const [x, y, z] = [column(pose, 0), column(pose, 1), column(pose, 2)]
      expect(transformPoint(pose, [0, 0, 0])).toEqual(at)
      expect(length(subtract(cross(z, x), y))).toBeLessThan(1e-12)
      const lean = angleDeg(scale(z, -1), coronal)
      const norm = crownNorm(tooth).tiltFacialDeg
      expect(lean).toBeCloseTo(Math.abs(norm), 9)
      expect(Math.sign(dot(scale(z, -1), facial))).toBe(Math.sign(norm))
    }
  })

  test('upper central: the edge of a 10.5 mm crown lies 10.5 sin 28 = 4.93 mm facial of its neck', () => {
    const site = { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] } as const
    const edge = transformPoint(startingCrownPose(site, at), [0, 0, -10.5])
    expect(at[1] - edge[1]).toBeCloseTo(4.93, 2)
    expect(at[2] - edge[2]).toBeCloseTo(10.5 * Math.cos((28 * Math.PI) / 180), 9)
  })
})
