import { describe, expect, test } from 'vitest'
import type { ChannelQuestion, Crown } from '../src/crown/index.js'
import {
  accessExit,
  angledChannel,
  crownFromMesh,
  EXIT_LIMITS,
  edgeAt,
  tabulatedCrown,
} from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import {
  angleDeg,
  distance,
  fromFrame,
  invert,
  subtract,
  transformDirection,
  transformPoint,
} from '../src/space/index.js'
import { block } from './block-crown.js'
import { type Aim, aimed, deg, POSE, rad } from './channel-aim.js'

// Worked geometry of the access channel: x = x0 + h tan(theta), theta the orofacial tilt, facial positive.

/** What the fixture, aimed in the crown frame, is told: its exit and its bend. */
function ask(crown: Crown, aim: Aim, limits: ChannelQuestion['limits'] = {}, pose = POSE) {
  const question = aimed(crown, aim, limits, pose)
  const correctionDeg = () => angledChannel(question).least?.correctionDeg ?? null
  return { ...accessExit(question), correctionDeg }
}

const flat = crownFromMesh(block(10.5), '11')

describe('accessExit on a flat edge plane', () => {
  test('offset at height h is h tan(tilt), the printed table', () => {
    const printed: Record<number, readonly number[]> = {
      6: [0.52, 1.06, 1.61, 2.18, 2.8, 3.46],
      8: [0.7, 1.41, 2.14, 2.91, 3.73, 4.62],
      10: [0.87, 1.76, 2.68, 3.64, 4.66, 5.77],
      12: [1.05, 2.12, 3.22, 4.37, 5.6, 6.93],
      14: [1.22, 2.47, 3.75, 5.1, 6.53, 8.08],
    }
    for (const [h, row] of Object.entries(printed))
      for (const [i, offset] of row.entries()) {
        const crown = crownFromMesh(block(5), '11')
        const found = ask(crown, { platform: [0, 0, Number(h) - 5], facialDeg: 5 * (i + 1) })
        expect(Math.abs((found.offsetMm ?? Number.NaN) - offset)).toBeLessThanOrEqual(0.00501)
        expect(found.exitHeightMm).toBeCloseTo(Number(h), 9)
      }
  })

  test('correction that moves the exit by d with the bend at the platform, the printed table', () => {
    const heights = [8, 10, 12, 14]
    const printed: Record<string, readonly number[]> = {
      '1.5': [10.6, 8.5, 7.1, 6.1],
      '2': [14.0, 11.3, 9.5, 8.1],
      '3': [20.6, 16.7, 14.0, 12.1],
      '4': [26.6, 21.8, 18.4, 15.9],
    }
    for (const [d, row] of Object.entries(printed))
      for (const [i, correction] of row.entries()) {
        const crown = crownFromMesh(block(5), '11')
        const limits = { bendPivotMm: 0, wantedPalatalMm: Number(d) }
        const found = ask(crown, { platform: [0, 0, heights[i] - 5] }, limits)
        expect(Math.abs((found.correctionDeg() ?? Number.NaN) - correction)).toBeLessThanOrEqual(0.05)
      }
  })

  test('the same with the bend 3 mm above the platform: atan(1.5 / 5) = 16.7 degrees', () => {
    const crown = crownFromMesh(block(5), '11')
    expect(ask(crown, { platform: [0, 0, 3] }, { bendPivotMm: 3 }).correctionDeg()).toBeCloseTo(16.7, 1)
  })

  test('central incisor, platform 3.5 mm apical of the margin, crown 10.5 mm', () => {
    const platform: Vec3 = [0, 0, 3.5]
    const upright = ask(flat, { platform })
    expect(upright.class).toBe('incisal')
    expect(upright.offsetMm).toBeCloseTo(0, 9)
    expect(upright.exitHeightMm).toBeCloseTo(14, 9)
    const palatal = ask(flat, { platform, facialDeg: -6.12 })
    expect(palatal.offsetMm).toBeCloseTo(-1.5, 2)
    expect(palatal.class).toBe('palatal')
    expect(palatal.correctionDeg()).toBe(0)
    const facial = ask(flat, { platform, facialDeg: 15 })
    expect(facial.class).toBe('facial')
    expect(facial.offsetMm).toBeCloseTo(3.75, 2)
    expect(facial.correctionDeg()).toBeCloseTo(26.8, 1)
    expect(ask(flat, { platform, facialDeg: 15 }, { bendPivotMm: 0 }).correctionDeg()).toBeCloseTo(21.1, 1)
  })

  test('play in a sleeve: the axis leans by atan(clearance / length), the printed values', () => {
    const platform: Vec3 = [0, 0, 3.5]
    for (const [clearance, length, printed] of [
      [0.41, 4, 5.85],
      [0.2, 5, 2.29],
      [0.1, 5, 1.15],
      [0.05, 4, 0.72],
    ]) {
      const { tiltDeg } = accessExit({
        crown: flat,
        pose: POSE,
        fixture: {
          platform: transformPoint(POSE, platform),
          apical: transformDirection(POSE, [clearance, 0, length]),
        },
        site: { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] },
      })
      expect(Math.abs(tiltDeg - printed)).toBeLessThanOrEqual(0.005)
    }
  })

  test('tilts compose by their tangents: 15 facial and 5 mesial are 15.74 in all', () => {
    const found = ask(flat, { platform: [0, 0, 3.5], facialDeg: 15, plusYDeg: 5 })
    expect(found.tiltDeg).toBeCloseTo(15.74, 2)
    expect(found.tiltFacialDeg).toBeCloseTo(15, 9)
    expect(found.tiltMesialDeg).toBeCloseTo(5, 9)
    const other = ask(crownFromMesh(block(10.5), '21'), { platform: [0, 0, 3.5], plusYDeg: 5 })
    expect(other.tiltMesialDeg).toBeCloseTo(-5, 9)
  })

  test('lies in LPS on the fixture axis, the channel runs from base to exit', () => {
    const found = ask(flat, { platform: [0, 0, 3.5], facialDeg: 15 })
    const exit = transformPoint(POSE, [14 * Math.tan(rad(15)), 0, -10.5])
    expect(distance(found.point ?? [0, 0, 0], exit)).toBeLessThan(1e-9)
    const entry = transformPoint(POSE, [3.5 * Math.tan(rad(15)), 0, 0])
    expect(distance(found.channel?.entry ?? [0, 0, 0], entry)).toBeLessThan(1e-9)
    expect(found.exitDistanceMm).toBeCloseTo(14 / Math.cos(rad(15)), 9)
  })

  test('missing the crown gives no class, point or offset, but a correction up to 60 degrees', () => {
    const found = ask(flat, { platform: [30, 0, 3.5] })
    expect([found.class, found.point, found.offsetMm, found.exitHeightMm, found.channel]).toEqual(
      Array(5).fill(null),
    )
    expect(found.correctionDeg()).toBeNull()
    // From the bend at height 3 to the wanted exit: 16.5 mm aside, 11 mm up.
    const nearer = ask(flat, { platform: [15, 0, 3.5] })
    expect(nearer.class).toBeNull()
    expect(Math.abs((nearer.correctionDeg() ?? 0) - deg(Math.atan(16.5 / 11)))).toBeLessThan(0.01)
  })

  test('a pose with scale or mirror and a crown of another tooth are refused', () => {
    const pose = fromFrame([1, 0, 0], [0, -1, 0], [0, 0, 1], [0, 0, 0])
    expect(() => ask(flat, { platform: [0, 0, 3] }, {}, pose)).toThrow(RangeError)
    const question = { crown: flat, pose: POSE, fixture: { platform: [0, 0, 0], apical: [0, 0, 1] } } as const
    const site = { tooth: '12', facial: [0, -1, 0], coronal: [0, 0, -1] } as const
    expect(() => accessExit({ ...question, site })).toThrow('tooth 12')
  })
})

/** From a point to the nearest side of a polygon, as seen along the crown. */
function toOutline(polygon: readonly (readonly [number, number])[], [x, y]: Vec3): number {
  const distances = polygon.map(([ax, ay], n) => {
    const [bx, by] = polygon[(n + 1) % polygon.length]
    const size = (bx - ax) ** 2 + (by - ay) ** 2
    const k = Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / size))
    return Math.hypot(ax + k * (bx - ax) - x, ay + k * (by - ay) - y)
  })
  return Math.min(...distances)
}

describe('accessExit on the tabulated crowns', () => {
  test.each(['11', '12', '13', '21', '22', '23', '31', '32', '33', '41', '42', '43'])('%s', (tooth) => {
    const crown = tabulatedCrown(tooth)
    const edge = edgeAt(crown, 0)
    const oral = Number(tooth) < 30 ? 'palatal' : 'lingual'
    const platform: Vec3 = [edge[0], 0, 3.5]
    const upright = ask(crown, { platform })
    expect(upright.class).toBe('incisal')
    expect(upright.region).toBe('edge')
    expect(upright.offsetMm).toBeCloseTo(0, 9)
    expect(upright.exitHeightMm).toBeCloseTo(3.5 - edge[2], 6)
    for (const tiltDeg of [-15, -6, -2, 2, 6, 15]) {
      const found = ask(crown, { platform, facialDeg: tiltDeg })
      const h = found.exitHeightMm ?? Number.NaN
      expect(found.offsetMm).toBeCloseTo(h * Math.tan(rad(tiltDeg)), 6)
    }
    expect(ask(crown, { platform, facialDeg: 15 }).class).toBe('facial')
    expect(ask(crown, { platform, facialDeg: -15 }).class).toBe(oral)
    expect(ask(crown, { platform, facialDeg: -15 }).region).toBe('oral')
  })

  test.each(['14', '25', '16', '27', '34', '45', '36', '47'])('%s', (tooth) => {
    const crown = tabulatedCrown(tooth)
    const [x, y] = crown.landmarks.edgeCentre
    const oral = Number(tooth) < 30 ? 'palatal' : 'lingual'
    const platform: Vec3 = [x, y, 3]
    expect(ask(crown, { platform }).class).toBe('occlusal')
    expect(ask(crown, { platform }).correctionDeg()).toBe(0)
    const facial = ask(crown, { platform, facialDeg: 30 })
    expect(facial.class).toBe('facial')
    expect(facial.offsetMm).toBeCloseTo((facial.exitHeightMm ?? Number.NaN) * Math.tan(rad(30)), 1)
    const angled = angledChannel(aimed(crown, { platform: [x, y, 3], facialDeg: 30 }))
    const toLocal = (p: Vec3 | null | undefined): Vec3 => transformPoint(invert(POSE), p ?? [0, 0, 0])
    // To the middle of the groove it takes more than the tilt; the table begins at its outline.
    const toGroove = subtract(crown.landmarks.edgeCentre, toLocal(angled.pivot))
    expect(angleDeg(toGroove, [Math.tan(rad(30)), 0, -1])).toBeGreaterThan(30)
    expect(angled.least?.correctionDeg).toBeGreaterThan(10)
    expect(angled.least?.correctionDeg).toBeLessThan(angleDeg(toGroove, [Math.tan(rad(30)), 0, -1]))
    expect(toOutline(crown.occlusalTable ?? [], toLocal(angled.least?.exit))).toBeLessThan(0.01)
    expect(ask(crown, { platform: [x, y, 0.2], facialDeg: -50 }).class).toBe(oral)
  })

  test('an exit low on the labial face is facial though its offset is inside the band', () => {
    const crown = tabulatedCrown('11')
    const edge = edgeAt(crown, 0)
    const found = ask(crown, { platform: [edge[0] + 1.2, 0, 3.5] })
    expect(found.offsetMm).toBeLessThan(EXIT_LIMITS.edgeBandMm)
    expect(found.region).toBe('facial')
    expect(found.class).toBe('facial')
  })
})
