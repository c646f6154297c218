import { describe, expect, test } from 'vitest'
import type { AngledChannel, Crown } from '../src/crown/index.js'
import {
  accessChannel,
  accessExit,
  angledChannel,
  EXIT_LIMITS,
  isPosterior,
  oralSide,
  tabulatedCrown,
} from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { angleDeg, distance, fromFrame, invert, scale, subtract, transformPoint } from '../src/space/index.js'
import { boxCrown } from './box-crown.js'
import { type Aim, aimed, deg, notFinite, POSE, rad } from './channel-aim.js'

const flat = boxCrown(10.5)
const correction = (found: AngledChannel): number => found.least?.correctionDeg ?? Number.NaN
const local = (p: Vec3): Vec3 => transformPoint(invert(POSE), p)

describe('least bend on a flat edge plane', () => {
  test('that moves the exit by d with the bend at the platform, the printed table', () => {
    // atan(d / h), worked geometry of the access channel.
    const heights = [8, 10, 12, 14]
    const printed: Record<string, readonly number[]> = {
      '1.5': [10.6, 8.5, 7.1, 6.1],
      '2': [14.0, 11.3, 9.5, 8.1],
      '3': [20.6, 16.7, 14.0, 12.1],
      '4': [26.6, 21.8, 18.4, 15.9],
    }
    const crown = boxCrown(5)
    for (const [d, row] of Object.entries(printed))
      for (const [i, bend] of row.entries()) {
        const limits = { bendPivotMm: 0, wantedPalatalMm: Number(d) }
        const found = angledChannel(aimed(crown, { platform: [0, 0, heights[i] - 5] }, limits))
        expect(Math.abs(correction(found) - bend)).toBeLessThanOrEqual(0.05)
        expect(Math.abs(correction(found) - deg(Math.atan(Number(d) / heights[i])))).toBeLessThan(0.01)
      }
  })

  test('the same with the bend 3 mm above the platform: atan(1.5 / 5) = 16.7 degrees', () => {
    const crown = boxCrown(5)
    const found = angledChannel(aimed(crown, { platform: [0, 0, 3] }, { bendPivotMm: 3 }))
    expect(Math.abs(correction(found) - deg(Math.atan(1.5 / 5)))).toBeLessThan(0.01)
  })

  test('central incisor, platform 3.5 mm apical of the margin, crown 10.5 mm', () => {
    const platform: Vec3 = [0, 0, 3.5]
    expect(correction(angledChannel(aimed(flat, { platform, facialDeg: -6.12 })))).toBe(0)
    const facial = angledChannel(aimed(flat, { platform, facialDeg: 15 }))
    expect(correction(facial)).toBeCloseTo(26.8, 1)
    // 3 tan 15 + 1.5 aside over 11 mm from the bend, and 15 degrees to stand upright.
    expect(
      Math.abs(correction(facial) - 15 - deg(Math.atan((3 * Math.tan(rad(15)) + 1.5) / 11))),
    ).toBeLessThan(0.01)
    expect(local(facial.pivot ?? [0, 0, 0])[0]).toBeCloseTo(3 * Math.tan(rad(15)), 9)
    const [x, , z] = local(facial.least?.exit ?? [0, 0, 0])
    expect(z).toBeCloseTo(-10.5, 9)
    expect(Math.abs(x + 1.5)).toBeLessThan(0.003)
    const atPlatform = angledChannel(aimed(flat, { platform, facialDeg: 15 }, { bendPivotMm: 0 }))
    expect(correction(atPlatform)).toBeCloseTo(21.1, 1)
  })

  test('an axis that misses the crown may be bent back to it, up to 60 degrees', () => {
    const near = angledChannel(aimed(flat, { platform: [15, 0, 3.5] }))
    // From the bend at height 3 to the wanted exit: 16.5 mm aside, 11 mm up.
    expect(Math.abs(correction(near) - deg(Math.atan(16.5 / 11)))).toBeLessThan(0.01)
    expect(near.reachable).toBeNull()
    expect(angledChannel(aimed(flat, { platform: [30, 0, 3.5] })).least).toBeNull()
  })

  test('the zone of a limit is the cut of its cone with the top', () => {
    const found = angledChannel(aimed(flat, { platform: [0, 0, 3.5], facialDeg: 5 }, { correctionDeg: 20 }))
    expect(found.limitDeg).toBe(20)
    expect(found.reachable).toHaveLength(72)
    const pivot = local(found.pivot ?? [0, 0, 0])
    for (const p of found.reachable ?? []) {
      expect(local(p)[2]).toBeCloseTo(-10.5, 9)
      expect(angleDeg(subtract(local(p), pivot), [Math.tan(rad(5)), 0, -1])).toBeCloseTo(20, 9)
    }
  })
})

describe('least bend with a wall', () => {
  test('in a box: where the palatal side is as far from the channel as the wall must be thick', () => {
    const half = 4
    const crown = boxCrown(10.5, half)
    const found = angledChannel(
      aimed(crown, { platform: [0, 0, 3.5] }, { wantedPalatalMm: 1.5, leastWallMm: 1 }),
    )
    expect(found.leastWithWall?.correctionDeg).toBe(found.least?.correctionDeg)
    // Bent to exactly 1.5 mm palatal of the edge: the palatal side at the height of the outline's highest point.
    const bend = Math.atan(1.5 / 11)
    const top = (11 + 1.15 * Math.sin(bend)) / Math.cos(bend)
    const wall = half / Math.cos(bend) - top * Math.tan(bend) - 1.15
    expect(found.least?.wall?.mm).toBeCloseTo(wall, 2)
    expect(found.least?.wall?.region).toBe('oral')
    const demanding = angledChannel(aimed(crown, { platform: [0, 0, 3.5] }, { leastWallMm: wall + 0.1 }))
    expect(demanding.least?.correctionDeg).toBe(found.least?.correctionDeg)
    // Palatal of that the wall only gets thinner, until the channel leaves by the palatal side itself.
    expect(demanding.leastWithWall?.correctionDeg).toBeGreaterThan(deg(Math.atan(half / 11)))
    expect(local(demanding.leastWithWall?.exit ?? [0, 0, 0])[0]).toBeCloseTo(-half, 9)
    expect(demanding.leastWithWall?.wall?.mm).toBeGreaterThanOrEqual(wall + 0.1)
  })

  test('further round: an axis near the mesial side bends away from it', () => {
    const crown = boxCrown(10.5, 4)
    const limits = { bendPivotMm: 4, leastWallMm: 0.8 }
    const found = angledChannel(aimed(crown, { platform: [0, 0.5, 3.5], plusYDeg: 9 }, limits))
    expect(found.least?.wall?.mm).toBeLessThan(0.8)
    expect(found.least?.wall?.region).toBe('mesial')
    expect(found.leastWithWall?.wall?.mm).toBeGreaterThanOrEqual(0.8)
    expect(found.leastWithWall?.wall?.mm).toBeLessThan(0.82)
    const [least, walled] = [found.least, found.leastWithWall].map(
      (bend) => bend?.correctionDeg ?? Number.NaN,
    )
    expect(walled).toBeGreaterThan(least)
  })

  test('the straight part below the bend counts: no bend helps where that is too near a side', () => {
    const crown = boxCrown(10.5, 4)
    const low = { bendPivotMm: 8, leastWallMm: 0.8 }
    const found = angledChannel(aimed(crown, { platform: [2.5, 0, 3.5] }, low))
    expect(found.least?.wall?.mm).toBeCloseTo(4 - 2.5 - 1.15, 9)
    expect(found.least?.wall?.region).toBe('facial')
    expect(found.leastWithWall).toBeNull()
  })
})

describe('on tabulated crowns', () => {
  const aims: readonly Aim[] = [
    { platform: [0.6, 0, 3.5], facialDeg: 0 },
    { platform: [0.2, 0.5, 3], facialDeg: 10, plusYDeg: 4 },
    { platform: [1, -0.4, 2.5], facialDeg: 18, plusYDeg: -7 },
    { platform: [0, 0, 3.5], facialDeg: -12 },
  ]

  /** What an upright fixture at the bend, aimed along a direction of the crown frame, would be told. */
  const along = (crown: Crown, pivot: Vec3, direction: Vec3) => {
    const [x, y, z] = direction
    return aimed(crown, {
      platform: pivot,
      facialDeg: deg(Math.atan2(x, -z)),
      plusYDeg: deg(Math.atan2(y, -z)),
    })
  }

  const isMet = (crown: Crown, pivot: Vec3, direction: Vec3): boolean => {
    const exit = accessExit(along(crown, pivot, direction))
    if (isPosterior(crown.tooth)) return exit.class === 'occlusal'
    return exit.class === oralSide(crown.tooth) && (exit.offsetMm ?? 0) <= -EXIT_LIMITS.wantedPalatalMm
  }

  /** Directions round the axis of a fixture, in the crown frame. */
  const cone = ({ facialDeg = 0, plusYDeg = 0 }: Aim, bendDeg: number, azimuthDeg: number): Vec3 => {
    const size = Math.hypot(Math.tan(rad(facialDeg)), Math.tan(rad(plusYDeg)), 1)
    const d = scale([Math.tan(rad(facialDeg)), Math.tan(rad(plusYDeg)), -1], 1 / size)
    const u0: Vec3 = [1 - d[0] * d[0], -d[0] * d[1], -d[0] * d[2]]
    const u = scale(u0, 1 / Math.hypot(...u0))
    const v: Vec3 = [d[1] * u[2] - d[2] * u[1], d[2] * u[0] - d[0] * u[2], d[0] * u[1] - d[1] * u[0]]
    const [c, s] = [Math.cos(rad(bendDeg)), Math.sin(rad(bendDeg))]
    const [ca, sa] = [Math.cos(rad(azimuthDeg)), Math.sin(rad(azimuthDeg))]
    const at = (k: 0 | 1 | 2) => c * d[k] + s * (ca * u[k] + sa * v[k])
    return [at(0), at(1), at(2)]
  }

  test.each(['11', '22', '13', '33', '41', '14', '36', '26'])(
    '%s: no direction of a fine grid is met at a lesser bend',
    (tooth) => {
      const crown = tabulatedCrown(tooth)
      for (const aim of aims) {
        const found = angledChannel(aimed(crown, aim))
        expect(notFinite(found)).toEqual([])
        const pivot = local(found.pivot ?? [0, 0, 0])
        const least = found.least?.correctionDeg ?? 60
        let best = Number.POSITIVE_INFINITY
        for (let azimuth = 0; azimuth < 360; azimuth += 2)
          for (let bend = Math.max(0, least - 8); bend <= Math.min(least + 2, best); bend += 0.1)
            if (isMet(crown, pivot, cone(aim, bend, azimuth))) best = Math.min(best, bend)
        expect(least).toBeLessThan(best + 0.01)
        if (found.least) expect(least).toBeGreaterThan(best - 0.15)
        const exit = local(found.least?.exit ?? [0, 0, 0])
        if (found.least && least > 0) expect(isMet(crown, pivot, subtract(exit, pivot))).toBe(true)
      }
    },
  )

  test.each(['11', '13', '36'])(
    '%s: nor with the wall kept, as an upright fixture at the bend is told',
    (tooth) => {
      const crown = tabulatedCrown(tooth)
      for (const aim of aims.slice(0, 3)) {
        const limits = { leastWallMm: 0.6 }
        const found = angledChannel(aimed(crown, aim, limits))
        const pivot = local(found.pivot ?? [0, 0, 0])
        const holds = (direction: Vec3) =>
          isMet(crown, pivot, direction) &&
          (accessChannel(along(crown, pivot, direction)).wall?.mm ?? -1) >= limits.leastWallMm
        const least = found.leastWithWall?.correctionDeg ?? 60
        if (found.leastWithWall)
          expect(found.leastWithWall.wall?.mm).toBeGreaterThanOrEqual(limits.leastWallMm)
        for (let azimuth = 0; azimuth < 360; azimuth += 15)
          for (let bend = found.least?.correctionDeg ?? 60; bend < least - 0.3; bend += 1)
            expect(holds(cone(aim, bend, azimuth)), `${aim.facialDeg}: ${bend} towards ${azimuth}`).toBe(
              false,
            )
      }
    },
  )

  test.each([
    ['11', '21'],
    ['33', '43'],
    ['16', '26'],
  ])('%s and %s are mirror images', (tooth, other) => {
    for (const { platform, facialDeg = 0, plusYDeg = 0 } of aims) {
      const [x, y, z] = platform
      const one = angledChannel(aimed(tabulatedCrown(tooth), { platform, facialDeg, plusYDeg }))
      const two = angledChannel(
        aimed(tabulatedCrown(other), { platform: [x, -y, z], facialDeg, plusYDeg: -plusYDeg }),
      )
      expect(Math.abs((one.least?.correctionDeg ?? 99) - (two.least?.correctionDeg ?? 99))).toBeLessThan(0.01)
      const [a, b] = [one, two].map(({ leastWithWall }) => leastWithWall?.correctionDeg ?? 99)
      expect(Math.abs(a - b)).toBeLessThan(0.02)
      for (const [i, p] of (one.reachable ?? []).entries()) {
        const [qx, qy, qz] = local(two.reachable?.[(72 - i) % 72] ?? [0, 0, 0])
        expect(distance(local(p), [qx, -qy, qz])).toBeLessThan(1e-6)
      }
    }
  })

  test('moved and turned, the bends are the same', () => {
    const [c, s] = [Math.cos(1.1), Math.sin(1.1)]
    const elsewhere = fromFrame([c, s, 0], [0, 0, 1], [s, -c, 0], [-70, 33, 250])
    for (const aim of aims) {
      const one = angledChannel(aimed(tabulatedCrown('12'), aim))
      const two = angledChannel(aimed(tabulatedCrown('12'), aim, {}, elsewhere))
      expect(Math.abs((one.least?.correctionDeg ?? 99) - (two.least?.correctionDeg ?? 99))).toBeLessThan(1e-6)
    }
  })
})

describe('where there is no bend', () => {
  test('an axis that runs level or apically has none', () => {
    const question = aimed(flat, { platform: [0, 0, 3.5] })
    for (const apical of [[0, 1, 0] as const, question.fixture.apical.map((v) => -v)]) {
      const fixture = { ...question.fixture, apical: [apical[0], apical[1], apical[2]] as const }
      const level = fixture.apical[1] === 1 && fixture.apical[2] === 0
      const found = angledChannel({ ...question, fixture })
      if (!level) expect(found.pivot).toBeNull()
      expect(found.least).toBeNull()
      expect(found.reachable).toBeNull()
      expect(notFinite(found)).toEqual([])
    }
  })

  test('a platform above the crown: a bend, but no exit', () => {
    const found = angledChannel(aimed(flat, { platform: [0, 0, -20] }))
    expect(found.pivot).not.toBeNull()
    expect([found.least, found.leastWithWall, found.reachable]).toEqual([null, null, null])
  })

  test('a crown that ends below the bend keeps its straight channel', () => {
    const short = boxCrown(2, 6)
    const found = angledChannel(aimed(short, { platform: [-2, 0, 0.5] }))
    expect(found.least?.correctionDeg).toBe(0)
    expect(found.leastWithWall?.correctionDeg).toBe(0)
    expect(found.least?.wall?.mm).toBeCloseTo(4 - 1.15, 9)
  })
})
