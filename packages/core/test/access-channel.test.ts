import { describe, expect, test } from 'vitest'
import type { AccessChannel } from '../src/crown/index.js'
import { accessChannel, tabulatedCrown } from '../src/crown/index.js'
import type { Mesh, Vec3 } from '../src/space/index.js'
import { distance, fromFrame, invert, transformPoint } from '../src/space/index.js'
import { block } from './block-crown.js'
import { boxCrown } from './box-crown.js'
import { aimed, notFinite, POSE, rad } from './channel-aim.js'
import { subdivided } from './random-meshes.js'

const R = 1.15
const flat = boxCrown(10.5)
/** The same block in 3 200 triangles: many of them in the channel. */
const fine = boxCrown(10.5, 12, subdivided(block(10.5), 16))
const narrow = boxCrown(10.5, 3)
/** Platform 3.5 mm below the base, so 14 mm from the top. */
const H = 14

const local = (p: Vec3): Vec3 => transformPoint(invert(POSE), p)
const outlineOf = ({ outline }: AccessChannel): readonly Vec3[] => (outline ?? []).map(local)
const walls = ({ wall }: AccessChannel) =>
  Object.fromEntries(Object.entries(wall?.bySide ?? {}).map(([side, at]) => [side, at?.mm ?? null]))

describe('the opening', () => {
  test.each([
    ['two triangles', flat],
    ['many triangles', fine],
  ])('upright through a flat top of %s: a circle of area pi r^2', (_, crown) => {
    const found = accessChannel(aimed(crown, { platform: [0.4, -0.7, 3.5] }))
    expect(found.diameterMm).toBe(2.3)
    expect(found.closedShare).toBe(1)
    expect(found.areaMm2).toBeCloseTo(Math.PI * R * R, 10)
    const centre: Vec3 = [0.4, -0.7, -10.5]
    expect(distance(local(found.centroid ?? [0, 0, 0]), centre)).toBeLessThan(1e-9)
    expect(outlineOf(found)).toHaveLength(72)
    for (const p of outlineOf(found)) expect(distance(p, centre)).toBeCloseTo(R, 9)
  })

  test.each([
    ['two triangles', flat],
    ['many triangles', fine],
  ])('tilted through a flat top of %s: an ellipse of area pi r^2 / cos', (_, crown) => {
    for (const [facialDeg, plusYDeg] of [
      [15, 0],
      [-22, 7],
      [0, -18],
    ]) {
      const found = accessChannel(aimed(crown, { platform: [0, 0, 3.5], facialDeg, plusYDeg }))
      const [tx, ty] = [Math.tan(rad(facialDeg)), Math.tan(rad(plusYDeg))]
      const cosine = 1 / Math.sqrt(1 + tx * tx + ty * ty)
      expect(found.areaMm2).toBeCloseTo((Math.PI * R * R) / cosine, 9)
      const centre: Vec3 = [H * tx, H * ty, -10.5]
      expect(distance(local(found.centroid ?? [0, 0, 0]), centre)).toBeLessThan(1e-9)
      const far = outlineOf(found).map((p) => distance(p, centre))
      expect(Math.min(...far)).toBeCloseTo(R, 3)
      expect(Math.max(...far)).toBeCloseTo(R / cosine, 2)
      for (const [x, y, z] of outlineOf(found)) {
        expect(z).toBeCloseTo(-10.5, 9)
        const [dx, dy] = [x - centre[0], y - centre[1]]
        const along = (dx * tx + dy * ty) * cosine
        expect(Math.sqrt(dx * dx + dy * dy - along * along)).toBeCloseTo(R, 9)
      }
    }
  })

  test('half over the side of a block: open where wall lines pass beside it, the area that of the circle cut off', () => {
    const found = accessChannel(aimed(narrow, { platform: [2.5, 0, 3.5] }))
    // Lines with R cos(angle) > 0.5 miss: 64.2 degrees to either side, 25 of 72.
    expect(found.closedShare).toBeCloseTo(47 / 72, 12)
    expect(found.outline).toHaveLength(47)
    const beyond = R * R * Math.acos(0.5 / R) - 0.5 * Math.sqrt(R * R - 0.25)
    expect(found.areaMm2).toBeCloseTo(Math.PI * R * R - beyond, 10)
    // Of a circle cut at distance d: the middle of what is cut off lies 2 (R^2 - d^2)^1.5 / (3 area) from the centre.
    const moment = (2 / 3) * (R * R - 0.25) ** 1.5
    const [x] = local(found.centroid ?? [0, 0, 0])
    expect(x).toBeCloseTo(2.5 - moment / (Math.PI * R * R - beyond), 9)
  })

  test('over a ridge: both slopes count, each by its own cosine', () => {
    // A roof along y: its two slopes fall 30 degrees.
    const slope = Math.tan(rad(30))
    const roof = block(10.5, 6)
    const mesh: Mesh = {
      positions: Float64Array.from([...roof.positions, 0, -6, -10.5 - 6 * slope, 0, 6, -10.5 - 6 * slope]),
      triangles: Uint32Array.from([
        ...[0, 1, 2, 0, 2, 3],
        ...[1, 5, 6, 1, 6, 2, 0, 3, 7, 0, 7, 4],
        ...[0, 4, 8, 0, 8, 5, 0, 5, 1],
        ...[2, 6, 9, 2, 9, 7, 2, 7, 3],
        ...[4, 7, 9, 4, 9, 8],
        ...[5, 8, 9, 5, 9, 6],
      ]),
    }
    const found = accessChannel(aimed(boxCrown(10.5, 6, mesh), { platform: [0, 0, 3.5] }))
    expect(found.closedShare).toBe(1)
    expect(found.areaMm2).toBeCloseTo((Math.PI * R * R) / Math.cos(rad(30)), 9)
    const [x, y, z] = local(found.centroid ?? [0, 0, 0])
    expect(x).toBeCloseTo(0, 9)
    expect(y).toBeCloseTo(0, 9)
    // The middle of a half disc lies 4 r / 3 pi off its straight side.
    expect(z).toBeCloseTo(-10.5 - (6 - (4 * R) / (3 * Math.PI)) * slope, 9)
  })
})

describe('the wall in a box', () => {
  test('upright: the distances of the sides', () => {
    const found = accessChannel(aimed(narrow, { platform: [1, 0.25, 3.5] }))
    const sides = walls(found)
    expect(sides.facial).toBeCloseTo(2 - R, 9)
    expect(sides.oral).toBeCloseTo(4 - R, 9)
    expect(sides.mesial).toBeCloseTo(2.75 - R, 9)
    expect(sides.distal).toBeCloseTo(3.25 - R, 9)
    expect(sides.edge).toBeNull()
    expect(found.wall?.region).toBe('facial')
    expect(found.wall?.mm).toBeCloseTo(2 - R, 9)
    expect(local(found.wall?.at ?? [0, 0, 0])[0]).toBeCloseTo(3, 9)
  })

  test('tilted: where the highest point of the outline lies, half / cos - top tan - r', () => {
    const [half, theta] = [6, rad(10)]
    const found = accessChannel(aimed(boxCrown(10.5, half), { platform: [0, 0, 3.5], facialDeg: 10 }))
    const top = (H + R * Math.sin(theta)) / Math.cos(theta)
    expect(found.wall?.region).toBe('facial')
    expect(found.wall?.mm).toBeCloseTo(half / Math.cos(theta) - top * Math.tan(theta) - R, 9)
  })

  test('a face of its own exit counts up to one diameter below its outline', () => {
    // Out through the facial side 45 degrees off it: the wall to that side runs out to nothing at the outline.
    const found = accessChannel(aimed(narrow, { platform: [-2, 0, -1], facialDeg: 45 }))
    expect(local(found.outline?.[0] ?? [0, 0, 0])[0]).toBeCloseTo(3, 9)
    // Outline from 5 sqrt 2 - r on along the axis; at a height t the side is (5 sqrt 2 - t) away.
    const low = 5 * Math.SQRT2 - R
    expect(walls(found).facial).toBeCloseTo(5 * Math.SQRT2 - (low - 2 * R) - R, 9)
  })

  test('is negative where the channel breaks through a side', () => {
    const beside = accessChannel(aimed(narrow, { platform: [2.5, 0, 3.5] }))
    expect(beside.wall?.mm).toBeCloseTo(0.5 - R, 9)
    const leaning = accessChannel(aimed(narrow, { platform: [0, 0, 3.5], facialDeg: 10 }))
    expect(leaning.closedShare).toBe(1)
    const corner = 3 * Math.cos(rad(10)) - H * Math.sin(rad(10))
    // As far up as the outline, whose highest point lies between two of its 72.
    expect(leaning.wall?.mm).toBeGreaterThanOrEqual(corner - R)
    expect(leaning.wall?.mm).toBeLessThan(corner - R + 0.002)
    expect(leaning.wall?.region).toBe('facial')
  })

  test('to the edge line and the contacts', () => {
    const beside = accessChannel(aimed(flat, { platform: [3, 0, 3.5] }))
    expect(beside.wall?.toEdge.mm).toBeCloseTo(3 - R, 9)
    const at = local(beside.wall?.toEdge.at ?? [0, 0, 0])
    expect(distance(at, [0, 0, -10.5])).toBeLessThan(1e-6)
    const through = accessChannel(aimed(flat, { platform: [0.5, 0, 3.5] }))
    expect(through.wall?.toEdge.mm).toBeCloseTo(0.5 - R, 9)
    expect(through.wall?.toMesialContact.mm).toBeCloseTo(Math.hypot(0.5, 12) - R, 9)
    expect(local(through.wall?.toMesialContact.at ?? [0, 0, 0])[1]).toBeCloseTo(12, 9)
  })

  test('to an edge above the rim of the opening: the way from the rim', () => {
    // The palatal top of a step lies 2 mm lower than its facial half; the channel leaves by the lower one.
    const crown = { ...flat, edge: flat.edge.map(([x, y, z]): Vec3 => [x, y, z - 2]) }
    const found = accessChannel(aimed(crown, { platform: [-4, 0, 3.5] }))
    expect(found.wall?.toEdge.mm).toBeCloseTo(Math.hypot(4 - R, 2), 6)
  })
})

describe('where there is no channel', () => {
  const none = { outline: null, closedShare: 0, areaMm2: null, centroid: null, wall: null }

  test('missing the crown, running level with it, platform above it, running apically', () => {
    expect(accessChannel(aimed(flat, { platform: [30, 0, 3.5] }))).toMatchObject(none)
    expect(accessChannel(aimed(flat, { platform: [0, 0, -20] }))).toMatchObject(none)
    const question = aimed(flat, { platform: [0, 0, 3.5] })
    const level = { ...question.fixture, apical: [0, 1, 0] as const }
    expect(accessChannel({ ...question, fixture: level })).toMatchObject(none)
    const apically = aimed(flat, { platform: [0, 0, -5] })
    const down = apically.fixture.apical.map((v) => -v)
    const found = accessChannel({
      ...apically,
      fixture: { ...apically.fixture, apical: [down[0], down[1], down[2]] },
    })
    expect(found).toMatchObject(none)
  })

  test('the platform inside the crown: the channel begins there', () => {
    const found = accessChannel(aimed(narrow, { platform: [0, 0, -4] }))
    expect(found.areaMm2).toBeCloseTo(Math.PI * R * R, 9)
    expect(walls(found).facial).toBeCloseTo(3 - R, 9)
  })

  test('triangles without area change nothing and give no NaN', () => {
    const { positions, triangles } = block(10.5, 3)
    const extra = [0, 0, 0, 4, 4, 5, 1, 1, 6, 4, 6, 4]
    const crown = boxCrown(10.5, 3, {
      positions,
      triangles: Uint32Array.from([...triangles, ...extra]),
    })
    for (const facialDeg of [0, 10, 20]) {
      const aim = { platform: [0.3, 0.2, 3.5] as const, facialDeg }
      const found = accessChannel(aimed(crown, aim))
      const plain = accessChannel(aimed(narrow, aim))
      expect(notFinite(found)).toEqual([])
      expect(found.areaMm2).toBeCloseTo(plain.areaMm2 ?? Number.NaN, 9)
      expect(found.wall?.mm).toBeCloseTo(plain.wall?.mm ?? Number.NaN, 9)
    }
  })

  test('a channel without width is refused', () => {
    for (const channelDiameterMm of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => accessChannel(aimed(flat, { platform: [0, 0, 3.5] }, { channelDiameterMm }))).toThrow(
        RangeError,
      )
  })
})

describe('the same channel elsewhere', () => {
  const aims = [
    { platform: [0.5, 0.2, 3.5], facialDeg: -9, plusYDeg: 3 },
    { platform: [0.1, -0.4, 3], facialDeg: 2, plusYDeg: -5 },
    { platform: [0.8, 0.3, 2], facialDeg: 14, plusYDeg: 1 },
  ] as const
  /** Stands for what is not there. */
  const NOTHING = -99
  const numbers = (found: AccessChannel): readonly number[] => [
    found.closedShare,
    found.areaMm2 ?? NOTHING,
    found.wall?.mm ?? NOTHING,
    found.wall?.bySide.facial?.mm ?? NOTHING,
    found.wall?.bySide.oral?.mm ?? NOTHING,
    found.wall?.bySide.mesial?.mm ?? NOTHING,
    found.wall?.bySide.distal?.mm ?? NOTHING,
    found.wall?.toEdge.mm ?? NOTHING,
    found.wall?.toMesialContact.mm ?? NOTHING,
    found.wall?.toDistalContact.mm ?? NOTHING,
  ]
  const close = (a: AccessChannel, b: AccessChannel) => {
    const others = numbers(b)
    for (const [i, value] of numbers(a).entries()) expect(Math.abs(value - others[i])).toBeLessThan(1e-6)
  }

  test.each([
    ['11', '21'],
    ['13', '23'],
    ['36', '46'],
  ])('%s and %s are mirror images', (tooth, other) => {
    for (const { platform, facialDeg, plusYDeg } of aims) {
      const [x, y, z] = platform
      const one = accessChannel(aimed(tabulatedCrown(tooth), { platform, facialDeg, plusYDeg }))
      const two = accessChannel(
        aimed(tabulatedCrown(other), { platform: [x, -y, z], facialDeg, plusYDeg: -plusYDeg }),
      )
      close(one, two)
      const [p, q] = [one, two].map(({ centroid }) => local(centroid ?? [0, 0, 0]))
      expect(distance(p, [q[0], -q[1], q[2]])).toBeLessThan(1e-6)
    }
  })

  test('moved and turned, it moves and turns', () => {
    const crown = tabulatedCrown('12')
    const [c, s] = [Math.cos(1.1), Math.sin(1.1)]
    const elsewhere = fromFrame([c, s, 0], [0, 0, 1], [s, -c, 0], [-70, 33, 250])
    for (const aim of aims) {
      const one = accessChannel(aimed(crown, aim))
      const two = accessChannel(aimed(crown, aim, {}, elsewhere))
      close(one, two)
      for (const [i, p] of (one.outline ?? []).entries())
        expect(
          distance(local(p), transformPoint(invert(elsewhere), two.outline?.[i] ?? [0, 0, 0])),
        ).toBeLessThan(1e-9)
    }
  })

  test('on a crown that is the same to both sides the two sides have the same wall', () => {
    const found = accessChannel(aimed(narrow, { platform: [0.7, 0, 3.5], facialDeg: -6 }))
    expect(walls(found).mesial).toBeCloseTo(walls(found).distal ?? Number.NaN, 9)
  })
})
