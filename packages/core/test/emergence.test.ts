import { describe, expect, test } from 'vitest'
import {
  type Crown,
  distance,
  type Emergence,
  emergence,
  fromFrame,
  type Mat4,
  multiply,
  type NeighbourMarks,
  plusYSide,
  tabulatedCrown,
  toothDimensions,
  transformDirection,
  transformPoint,
  type Vec3,
} from '../src/index.js'
import { apicalFor } from './plan-fixture.js'
import { squareCrown } from './square-crown.js'

// Closed forms: a platform of radius r, d below a cervical margin a away from the axis, widens by atan((a - r) / d).

const rad = (deg: number) => (deg * Math.PI) / 180
const deg = (radians: number) => (radians * 180) / Math.PI

const POSE: Mat4 = fromFrame(
  [0, -Math.cos(rad(20)), -Math.sin(rad(20))],
  [1, 0, 0],
  [0, -Math.sin(rad(20)), Math.cos(rad(20))],
  [4.5, -60, 12],
)

interface Under {
  readonly platform?: Vec3
  readonly apical?: Vec3
  readonly radiusMm?: number
  readonly pose?: Mat4
  readonly neighbours?: { readonly mesial?: NeighbourMarks; readonly distal?: NeighbourMarks }
}

/** A fixture told in the crown's frame. */
function under(
  crown: Crown,
  { platform = [0, 0, 3.5], apical = [0, 0, 1], radiusMm = 2, pose = POSE, neighbours }: Under = {},
): Emergence {
  const fixture = {
    platform: transformPoint(pose, platform),
    apical: transformDirection(pose, apical),
    radiusMm,
  }
  return emergence({ crown, pose, fixture, site: neighbours === undefined ? {} : { neighbours } })
}

const angles = ({ profile }: Emergence) =>
  Object.fromEntries(profile.map(({ side, emergenceDeg }) => [side, emergenceDeg]))

const square = squareCrown(3)

describe('under a square block', () => {
  test('depth, crown height, and the facial rim oral of the margin', () => {
    const found = under(square)
    expect(found.belowMarginMm).toBeCloseTo(3.5, 9)
    expect(found.crownHeightMm).toBeCloseTo(14, 9)
    expect(found.rimOralOfEmergenceMm).toBeCloseTo(1, 9)
    expect(under(square, { platform: [1.6, 0, 3.5] }).rimOralOfEmergenceMm).toBeCloseTo(-0.6, 9)
    expect(under(square, { platform: [-1.6, 0, 3.5] }).rimOralOfEmergenceMm).toBeCloseTo(2.6, 9)
  })

  test('upright on the long axis: atan(1 / d) across the faces, atan((3 sqrt 2 - 2) / d) across the corners', () => {
    const { profile } = under(square)
    expect(profile.map(({ angleDeg }) => angleDeg)).toEqual([0, 45, 90, 135, 180, 225, 270, 315])
    for (const [n, { emergenceDeg }] of profile.entries())
      expect(emergenceDeg).toBeCloseTo(deg(Math.atan2(n % 2 === 0 ? 1 : 3 * Math.SQRT2 - 2, 3.5)), 9)
  })

  test('a platform wider than the margin runs inward, one above it over 90 deg', () => {
    expect(angles(under(square, { radiusMm: 3.5 })).mesial).toBeCloseTo(deg(Math.atan2(-0.5, 3.5)), 9)
    expect(angles(under(square, { platform: [0, 0, -1] })).oral).toBeCloseTo(deg(Math.atan2(1, -1)), 9)
  })

  test('shifted by 1 mm orally and mesially: every direction by its own distance', () => {
    const found = angles(under(square, { platform: [-1, 0.5, 3] }))
    expect(found.facial).toBeCloseTo(deg(Math.atan2(3 - 1, 3)), 9)
    expect(found.oral).toBeCloseTo(deg(Math.atan2(3 - 3, 3)), 9)
    expect(found.mesial).toBeCloseTo(deg(Math.atan2(3 - 2.5, 3)), 9)
    expect(found.distal).toBeCloseTo(deg(Math.atan2(3 - 1.5, 3)), 9)
  })

  test.each([-25, -10, 5, 15, 30])(
    'tilted by %d deg facially: the line from the tilted rim, less the tilt',
    (tilt) => {
      const [c, s] = [2 * Math.cos(rad(tilt)), 2 * Math.sin(rad(tilt))]
      const found = under(square, { apical: apicalFor(tilt) })
      expect(angles(found).facial).toBeCloseTo(deg(Math.atan2(3 - c, 3.5 + s)) - tilt, 9)
      expect(angles(found).oral).toBeCloseTo(deg(Math.atan2(3 - c, 3.5 - s)) + tilt, 9)
      expect(found.rimOralOfEmergenceMm).toBeCloseTo(3 - c, 9)
    },
  )

  test('tilted mesially it is the mesial and the distal side', () => {
    const [c, s] = [2 * Math.cos(rad(12)), 2 * Math.sin(rad(12))]
    const found = angles(under(square, { apical: apicalFor(0, 12) }))
    expect(found.mesial).toBeCloseTo(deg(Math.atan2(3 - c, 3.5 + s)) - 12, 9)
    expect(found.distal).toBeCloseTo(deg(Math.atan2(3 - c, 3.5 - s)) + 12, 9)
  })

  test('rim and margin are places: on the platform circle, and on the cervical margin in that direction', () => {
    const platform: Vec3 = [-1, 0.5, 3.5]
    const apical = apicalFor(20, -10)
    const centre = transformPoint(POSE, platform)
    const axis = transformDirection(POSE, apical)
    for (const { angleDeg, rim, margin } of under(square, { platform, apical }).profile) {
      expect(distance(rim, centre)).toBeCloseTo(2, 9)
      expect(
        (rim[0] - centre[0]) * axis[0] + (rim[1] - centre[1]) * axis[1] + (rim[2] - centre[2]) * axis[2],
      ).toBeCloseTo(0, 9)
      const reach = angleDeg % 90 === 0 ? 3 : 3 * Math.SQRT2
      const at: Vec3 = [reach * Math.cos(rad(angleDeg)), reach * Math.sin(rad(angleDeg)), 0]
      expect(distance(margin, transformPoint(POSE, at))).toBeLessThan(1e-9)
    }
  })

  test('a platform far from the crown, and one lying on its side, still give numbers', () => {
    for (const told of [
      { platform: [40, -30, 3] as const },
      { apical: [0, 1, 0] as const },
      { apical: [0, -1, 0] as const },
      { apical: [0, 0, -1] as const },
    ]) {
      const found = under(square, told)
      expect(JSON.stringify(found)).not.toContain('"emergenceDeg":null')
      for (const { rim, emergenceDeg } of found.profile)
        expect([...rim, emergenceDeg].every(Number.isFinite)).toBe(true)
    }
  })
})

describe('the neighbours', () => {
  test('depth below a marked cemento-enamel junction, along the long axis; null where none is marked', () => {
    const neighbours = {
      mesial: { cej: transformPoint(POSE, [1, 8, 2.25]) },
      distal: { contact: transformPoint(POSE, [0, -4, -6]) },
    }
    const found = under(square, { neighbours })
    expect(found.belowMesialCejMm).toBeCloseTo(1.25, 9)
    expect(found.belowDistalCejMm).toBeNull()
    expect(under(square).belowMesialCejMm).toBeNull()
  })
})

describe('under the average crowns', () => {
  // Cervical widths and the rise of the cervical line: Nelson and Ash, as in toothDimensions.
  test.each(['11', '22', '13', '31', '43', '14', '26', '36', '47'])('%s', (tooth) => {
    const size = toothDimensions(tooth)
    const [platformZ, radiusMm] = [3, 1.5]
    const found = under(tabulatedCrown(tooth), { platform: [0, 0, platformZ], radiusMm })
    expect(found.belowMarginMm).toBeCloseTo(platformZ, 6)
    expect(found.crownHeightMm).toBeCloseTo(platformZ + size.crownLengthMm, 6)
    // The margin stands out most a little beside the long axis: on it up to 0.01 mm less.
    expect(found.rimOralOfEmergenceMm).toBeLessThanOrEqual(size.cervicalLlMm / 2 - radiusMm + 1e-9)
    expect(found.rimOralOfEmergenceMm).toBeGreaterThan(size.cervicalLlMm / 2 - radiusMm - 0.01)
    const across = size.cervicalMdMm / 2 - radiusMm
    // A tapered section is widest a little beside the long axis: on it up to a degree less.
    for (const [angle, cejMm] of [
      [angles(found).mesial, size.cejMesialMm],
      [angles(found).distal, size.cejDistalMm],
    ]) {
      const widest = deg(Math.atan2(across, platformZ + cejMm))
      expect(angle).toBeLessThanOrEqual(widest + 1e-9)
      expect(angle).toBeGreaterThan(widest - 1)
    }
  })

  test.each([
    ['11', '21'],
    ['13', '23'],
    ['46', '36'],
  ])('%s and %s are mirror images', (one, other) => {
    const told = { platform: [-0.7, 0.4, 3.2] as const, apical: apicalFor(9, 6) }
    const mirrored = { platform: [-0.7, -0.4, 3.2] as const, apical: apicalFor(9, -6) }
    const [a, b] = [under(tabulatedCrown(one), told), under(tabulatedCrown(other), mirrored)]
    expect(plusYSide(one)).not.toBe(plusYSide(other))
    for (const [side, angle] of Object.entries(angles(a))) expect(angles(b)[side]).toBeCloseTo(angle, 9)
    expect(b.rimOralOfEmergenceMm).toBeCloseTo(a.rimOralOfEmergenceMm, 9)
    expect(b.belowMarginMm).toBeCloseTo(a.belowMarginMm, 9)
  })

  test('moved and turned together nothing changes but the places, which move along', () => {
    const told = { platform: [-1.2, 0.3, 4] as const, apical: apicalFor(14, -7) }
    const turn = fromFrame([0.36, 0.48, -0.8], [-0.8, 0.6, 0], [0.48, 0.64, 0.6], [20, -7, 3])
    const crown = tabulatedCrown('12')
    const [a, b] = [under(crown, told), under(crown, { ...told, pose: multiply(turn, POSE) })]
    for (const [n, { emergenceDeg, rim, margin }] of a.profile.entries()) {
      expect(b.profile[n].emergenceDeg).toBeCloseTo(emergenceDeg, 9)
      expect(distance(b.profile[n].rim, transformPoint(turn, rim))).toBeLessThan(1e-9)
      expect(distance(b.profile[n].margin, transformPoint(turn, margin))).toBeLessThan(1e-9)
    }
    expect(b.crownHeightMm).toBeCloseTo(a.crownHeightMm, 9)
    expect(b.rimOralOfEmergenceMm).toBeCloseTo(a.rimOralOfEmergenceMm, 9)
    expect(distance(b.zenith, transformPoint(turn, a.zenith))).toBeLessThan(1e-9)
  })
})
