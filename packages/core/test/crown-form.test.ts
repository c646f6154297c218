import { describe, expect, test } from 'vitest'
import { through } from '../src/crown/crown-form.js'
import type { Crown } from '../src/crown/index.js'
import { isPosterior, tabulatedCrown } from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { sliceMesh, vertex } from '../src/space/index.js'

// Traits a dentist looks for, in numbers. Heights of contour, contacts and cusps as dental anatomy books describe them
// (Nelson and Ash, from memory).

/** The crown cut at mesiodistal place `y`, all points. */
const cut = (crown: Crown, y: number): Vec3[] =>
  sliceMesh(crown.mesh, [0, y, 0], [0, 1, 0]).flatMap((line) => line.points)

/** The crown across at height `z`: least and greatest x. */
function across(section: readonly Vec3[], z: number): [number, number] {
  const xs = section.flatMap((p, i) => {
    const q = section[(i + 1) % section.length]
    if (p[2] === q[2] || (p[2] - z) * (q[2] - z) > 0) return []
    return [p[0] + ((z - p[2]) / (q[2] - p[2])) * (q[0] - p[0])]
  })
  return [Math.min(...xs), Math.max(...xs)]
}

const share = (crown: Crown, at: Vec3): number => -at[2] / crown.lengthMm

/** How far the oral outline sinks in under the straight line from the cingulum to the edge, mm. */
function hollowMm(crown: Crown, y: number): number {
  const section = cut(crown, y)
  const top = Math.min(...section.map((p) => p[2]))
  const oral = (z: number) => across(section, z)[0]
  const heights = Array.from(
    { length: 60 },
    (_, i) => -0.1 * crown.lengthMm + (i / 59) * (top + 0.5 + 0.1 * crown.lengthMm),
  )
  const cingulum = heights.reduce((a, b) => (oral(b) < oral(a) ? b : a))
  const [from, to] = [
    [oral(cingulum), cingulum],
    [oral(top + 0.5), top + 0.5],
  ]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  return Math.max(
    ...heights
      .filter((z) => z < cingulum && z > top + 0.5)
      .map((z) => ((oral(z) - from[0]) * (from[1] - to[1]) - (from[1] - z) * (to[0] - from[0])) / length),
  )
}

/** Tips: points that nothing within 0.8 mm overtops. */
function cuspTips(crown: Crown): Vec3[] {
  const all = Array.from({ length: crown.mesh.positions.length / 3 }, (_, i): Vec3 => vertex(crown.mesh, i))
  const upper = all.filter((p) => p[2] < -0.5 * crown.lengthMm)
  const near = (a: Vec3, b: Vec3) => Math.hypot(a[0] - b[0], a[1] - b[1]) < 0.8
  const tips: Vec3[] = []
  for (const p of upper)
    if (!upper.some((q) => q[2] < p[2] && near(p, q)) && !tips.some((q) => near(p, q))) tips.push(p)
  return tips
}

describe.each(['11', '12', '13', '21', '31', '32', '33', '42'])('front tooth %s', (tooth) => {
  const crown = tabulatedCrown(tooth)
  const middle = cut(crown, 0)
  const top = Math.min(...middle.map((p) => p[2]))
  const thickness = (belowEdge: number) => {
    const [oral, facial] = across(middle, top + belowEdge)
    return facial - oral
  }
  const canine = tooth[1] === '3'

  test('a thin edge: 0.8 to 1.8 mm just below it, thicker all the way down', () => {
    expect(thickness(0.6)).toBeGreaterThan(0.8)
    expect(thickness(0.6)).toBeLessThan(1.8)
    const steps = [0.6, 1, 1.5, 2, 3, 4, 5].map(thickness)
    expect([...steps].sort((a, b) => a - b)).toEqual(steps)
  })

  test('heights of contour in the cervical third, on both faces', () => {
    for (const at of [crown.landmarks.facialContour, crown.landmarks.oralContour]) {
      expect(share(crown, at)).toBeGreaterThan(0.08)
      expect(share(crown, at)).toBeLessThan(0.36)
    }
  })

  test('the facial outline is convex from its crest to the edge', () => {
    const heights = Array.from(
      { length: 12 },
      (_, i) => -0.3 * crown.lengthMm + (i / 11) * (top + 0.8 + 0.3 * crown.lengthMm),
    )
    const facial = heights.map((z) => across(middle, z)[1])
    for (let i = 1; i < 11; i++) expect(facial[i + 1] - 2 * facial[i] + facial[i - 1]).toBeLessThan(0.01)
  })

  test('an oral concavity: deeper on incisors than beside the ridge of a canine', () => {
    const hollow = canine ? Math.max(hollowMm(crown, 1.2), hollowMm(crown, -1.2)) : hollowMm(crown, 0)
    expect(hollow).toBeGreaterThan(tooth < '30' && !canine ? 0.5 : 0.3)
    expect(hollow).toBeLessThan(1.5)
  })

  test('contacts in the incisal half, the mesial one at least as high as the distal', () => {
    const { mesialContact, distalContact } = crown.landmarks
    expect(share(crown, mesialContact)).toBeGreaterThanOrEqual(share(crown, distalContact))
    expect(share(crown, mesialContact)).toBeGreaterThan(canine ? 0.55 : 0.7)
    expect(share(crown, distalContact)).toBeGreaterThan(0.45)
    expect(share(crown, mesialContact)).toBeLessThan(0.95)
  })
})

test('marginal ridges of an upper central stand out beside its fossa, on both sides', () => {
  const crown = tabulatedCrown('11')
  const level = sliceMesh(crown.mesh, [0, 0, -0.6 * crown.lengthMm], [0, 0, 1]).flatMap((line) => line.points)
  const oral = (low: number, high: number) =>
    Math.min(...level.filter((p) => p[1] >= low && p[1] <= high).map((p) => p[0]))
  expect(oral(-0.3, 0.3) - oral(1.5, 3.5)).toBeGreaterThan(0.1)
  expect(oral(-0.3, 0.3) - oral(-3.5, -1.5)).toBeGreaterThan(0.1)
})

test('a canine has one cusp, mesial of the middle by a little, its distal slope the longer', () => {
  for (const tooth of ['13', '33']) {
    const { edge } = tabulatedCrown(tooth)
    const tip = edge.reduce((a, b) => (b[2] < a[2] ? b : a))
    expect(tip[1]).toBeGreaterThan(0)
    expect(tip[1]).toBeLessThan(1)
    // The mesial slope of a lower canine is nearly level.
    expect(edge[0][2] - tip[2]).toBeGreaterThan(tooth === '13' ? 1 : 0.6)
    expect(edge[edge.length - 1][2]).toBeGreaterThan(edge[0][2])
  }
})

describe('back teeth', () => {
  test.each([
    ['14', 2],
    ['15', 2],
    ['16', 4],
    ['17', 4],
    ['18', 4],
    ['26', 4],
    ['34', 2],
    ['35', 3],
    ['36', 5],
    ['46', 5],
    ['37', 4],
    ['38', 4],
  ])('%s has %i cusps', (tooth, count) => {
    expect(cuspTips(tabulatedCrown(tooth))).toHaveLength(count)
  })

  test.each(['14', '15', '16', '17', '18', '34', '35', '36', '37', '38'])(
    'the central groove of %s runs 1.5 to 3 mm below the highest cusp at its deepest, the marginal ridges above it',
    (tooth) => {
      const crown = tabulatedCrown(tooth)
      const deepest = Math.max(...crown.edge.map((p) => p[2])) + crown.lengthMm
      expect(deepest).toBeGreaterThan(1.5)
      expect(deepest).toBeLessThan(3)
      const rim = crown.landmarks
      expect(share(crown, rim.mesialContact)).toBeGreaterThan(0.45)
      expect(share(crown, rim.mesialContact)).toBeLessThan(0.8)
    },
  )

  test('the oblique ridge of an upper first molar joins the mesiopalatal and the distofacial cusp', () => {
    const crown = tabulatedCrown('16')
    const tips = cuspTips(crown)
    const tip = (facial: boolean, mesial: boolean) =>
      tips.find((p) => p[0] > 0 === facial && p[1] > 0 === mesial) ?? [0, 0, 0]
    const depthAt = (x: number, y: number) => Math.min(...cutAt(crown, x, y))
    const between = (a: Vec3, b: Vec3) => depthAt((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    const oblique = between(tip(false, true), tip(true, false))
    const other = between(tip(true, true), tip(false, false))
    const valley = between(tip(true, true), tip(false, true))
    expect(oblique).toBeLessThan(valley - 0.3)
    expect(other).toBeGreaterThanOrEqual(oblique - 0.4)
    expect(crown.lengthMm + oblique).toBeLessThan(1.6)
  })

  test('lower back crowns lean lingually: the table lies oral of the neck, upper ones stand over it', () => {
    for (const tooth of ['34', '36', '37', '46']) {
      const { occlusalTable } = tabulatedCrown(tooth)
      const xs = (occlusalTable ?? []).map((p) => p[0])
      expect((Math.min(...xs) + Math.max(...xs)) / 2).toBeLessThan(-0.4)
    }
    for (const tooth of ['14', '16']) {
      const xs = (tabulatedCrown(tooth).occlusalTable ?? []).map((p) => p[0])
      expect(Math.abs((Math.min(...xs) + Math.max(...xs)) / 2)).toBeLessThan(0.4)
    }
  })
})

test('embrasures: every crown is narrower at its neck and at its rim than at its contacts', () => {
  for (const tooth of ['11', '12', '13', '14', '16', '31', '33', '34', '36']) {
    const crown = tabulatedCrown(tooth)
    const width = (z: number) => {
      const ys = sliceMesh(crown.mesh, [0, 0, z], [0, 0, 1]).flatMap((line) => line.points.map((p) => p[1]))
      return Math.max(...ys) - Math.min(...ys)
    }
    const contact = Math.max(width(crown.landmarks.mesialContact[2]), width(crown.landmarks.distalContact[2]))
    expect(contact - width(-0.25 * crown.lengthMm)).toBeGreaterThan(0.5)
    expect(contact - width(-(isPosterior(tooth) ? 0.88 : 0.97) * crown.lengthMm)).toBeGreaterThan(0.3)
  }
})

test('through: goes through its points and bends nowhere more than it must (cubic through a parabola stays close)', () => {
  const points = [0, 0.2, 0.45, 0.8, 1].map((t) => [t, 3 + t * t] as const)
  const line = through(points)
  for (const [t, value] of points) expect(line(t)).toBeCloseTo(value, 12)
  for (let t = 0; t <= 1; t += 0.05) expect(Math.abs(line(t) - 3 - t * t)).toBeLessThan(0.02)
  const straight = through([0, 0.5, 0.7, 1].map((t) => [t, 2 - t] as const))
  for (let t = 0; t <= 1; t += 0.05) expect(straight(t)).toBeCloseTo(2 - t, 12)
})

/** Where the vertical line through (x, y) meets the crown. */
function cutAt(crown: Crown, x: number, y: number): number[] {
  const section = cut(crown, y)
  return section.flatMap((p, i) => {
    const q = section[(i + 1) % section.length]
    if (p[0] === q[0] || (p[0] - x) * (q[0] - x) > 0) return []
    return [p[2] + ((x - p[0]) / (q[0] - p[0])) * (q[2] - p[2])]
  })
}
