import { describe, expect, test } from 'vitest'
import { resolveLimits } from '../src/assess/index.js'
import { limitReadings, limitSide, type MeasuredPose, WAYS_OUT, type WayOut } from '../src/explore/index.js'

const measured: MeasuredPose = {
  bone: {
    sectors: { facial: 1.4, mesial: 0.7, palatal: 2, distal: null },
    radialMm: 0.7,
    nearestMm: 0.6,
    openShare: 0,
    graftMm3: null,
  },
  exit: { class: 'palatal', offsetMm: -2.2, insideMm: 0.7, tiltFacialDeg: 0, tiltMesialDeg: 0 },
  platform: { belowMarginMm: 3.4, crownHeightMm: 6.5, rimOralMm: 2.3, steepestDeg: 50 },
  wall: { leastMm: 1.1, closedShare: 1 },
  correctionDeg: 12,
  correctionWithWallDeg: 27,
  clearanceMm: 1.3,
}

const read = (way: WayOut, change: Partial<MeasuredPose> = {}, tooth = '11') =>
  limitReadings(way, resolveLimits(tooth, {}), tooth, { ...measured, ...change })
const reserves = (way: WayOut, change: Partial<MeasuredPose> = {}, tooth = '11') =>
  read(way, change, tooth).map(({ code, where, reserve }) => [
    where === '' ? code : `${code} ${where}`,
    reserve === null ? null : Number(reserve.toFixed(9)),
  ])
const only = (way: WayOut, code: string, change: Partial<MeasuredPose> = {}, tooth = '11') =>
  read(way, change, tooth).filter((held) => held.code === code)

const MARGINS = [
  ['facialMarginMm facial', 0.4],
  ['marginMm mesial', -0.3],
  ['marginMm palatal', 1],
  // Bone ends nowhere in range there: as much as the nearest, at least.
  ['marginMm distal', -0.4],
  ['marginMm nearest', -0.4],
]
const PLATFORM = [
  ['platformDepthLeastMm', 0.4],
  ['platformDepthGreatestMm', 0.6],
  ['rimOralLeastMm', 2.3],
  ['rimOralGreatestMm', -0.3],
  ['marginMm clearance', 0.3],
]
const STRAIGHT = [['edgeBandMm', 0.7], ['leastWallMm', 0.3], ['crownHeightScrewMm', 2.5], ...PLATFORM]

describe('what each way is held to: limits 1 and 1 mm of bone, 0.8 mm wall, 4 and 7 mm height, 3 to 4 mm depth, 0 to 2 mm rim, 25 deg', () => {
  test('straight', () => expect(reserves('straight')).toEqual([...MARGINS, ...STRAIGHT]))

  test('with a graft bone is added: no margin is held', () =>
    expect(reserves('straight-graft')).toEqual(STRAIGHT))

  test('angled: the bend that keeps the wall', () =>
    expect(reserves('angled')).toEqual([
      ...MARGINS,
      ['correctionDeg', -2],
      ['crownHeightScrewMm', 2.5],
      ...PLATFORM,
    ]))

  test('cemented', () =>
    expect(reserves('cemented')).toEqual([...MARGINS, ['crownHeightCementMm', -0.5], ...PLATFORM]))
})

describe('what is not known', () => {
  test('was not measured: left out', () => {
    for (const way of WAYS_OUT)
      expect(limitReadings(way, resolveLimits('11', {}), '11', { clearanceMm: null })).toEqual([])
  })

  test('the bend without the wall, where that is all there is', () => {
    const { correctionWithWallDeg: _, ...rest } = measured
    const held = limitReadings('angled', resolveLimits('11', {}), '11', rest)
    expect(held.find(({ code }) => code === 'correctionDeg')?.reserve).toBe(13)
  })

  test('no bend, no exit: no number and no reserve', () => {
    expect(only('angled', 'correctionDeg', { correctionWithWallDeg: null })).toMatchObject([
      { value: null, reserve: null },
    ])
    const exit = { class: null, offsetMm: null, insideMm: null, tiltFacialDeg: 0, tiltMesialDeg: 0 }
    expect(only('straight', 'edgeBandMm', { exit })).toMatchObject([{ value: null, reserve: null }])
  })

  test('data ends too soon: nearest is not known to hold, but may be known to be missed', () => {
    const bone = { sectors: {}, radialMm: null, openShare: 0.1, graftMm3: null }
    const nearest = (nearestMm: number) => read('cemented', { bone: { ...bone, nearestMm } })[4]
    expect(nearest(1.2)).toMatchObject({ where: 'nearest', value: null, reserve: null })
    expect(nearest(0.8)).toMatchObject({ where: 'nearest', value: 0.8 })
  })
})

describe('numbers against their limits', () => {
  test('the exit of a front tooth, facial positive, against the edge of the band', () =>
    expect(only('straight', 'edgeBandMm')).toMatchObject([{ value: -2.2, limit: -1.5, reserve: 0.7 }]))

  test('that of a molar, into the occlusal table', () =>
    expect(only('straight', 'edgeBandMm', {}, '36')).toMatchObject([{ value: 0.7, limit: 0, reserve: 0.7 }]))

  test('a side open over a fifth: no wall, less a fifth of the channel of 2.3 mm', () => {
    const wall = (leastMm: number | null) => ({ wall: { leastMm, closedShare: 0.8 } })
    expect(only('straight', 'leastWallMm', wall(1))[0].value).toBeCloseTo(-0.46, 12)
    expect(only('straight', 'leastWallMm', wall(-0.2))[0].reserve).toBeCloseTo(-0.66 - 0.8, 12)
    expect(only('straight', 'leastWallMm', wall(null))[0].value).toBeCloseTo(-0.46, 12)
  })

  test('a closed channel of whose wall nothing is left to measure is not held to it', () =>
    expect(only('straight', 'leastWallMm', { wall: { leastMm: null, closedShare: 1 } })).toEqual([]))

  test('the place under the facial margin was told of the upper front alone', () => {
    for (const tooth of ['14', '31', '46']) expect(only('straight', 'rimOralLeastMm', {}, tooth)).toEqual([])
  })

  test('reserve is value less limit, or limit less value, by the side of the limit', () => {
    for (const way of WAYS_OUT)
      for (const tooth of ['11', '36'])
        for (const { code, value, limit, reserve } of read(way, {}, tooth)) {
          const sign = limitSide(code, tooth) === 'least' ? 1 : -1
          expect(reserve, code).toBeCloseTo(sign * ((value ?? 0) - limit), 12)
        }
  })
})
