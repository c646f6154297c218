import { describe, expect, test } from 'vitest'
import {
  guidedError,
  type MissCloud,
  type MissCloudOptions,
  missCloud,
  missCloudSteps,
  ownError,
  type PlacementError,
  plannedWay,
} from '../src/explore/index.js'
import { closedSite, planeFacialAt, roundBone, WIDE_LIMITS } from './miss-cloud-site.js'
import { apicalFor } from './plan-fixture.js'

const FIXTURE = { kind: 'cylinder', diameterMm: 4, lengthMm: 10 } as const
/** SD of the surface's place on the closed site's scan: voxels of 0.2 mm, hypot(0.1, 0.17) mm at 95 %. */
const SURFACE_SD_MM = Math.hypot(0.1, 0.17) / 1.96

/** The standard normal's distribution function (Abramowitz and Stegun 1964, 7.1.26, to 2e-7). */
function normalShare(z: number): number {
  const t = 1 / (1 + (0.3275911 * Math.abs(z)) / Math.SQRT2)
  const series = [0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429]
  const tail = series.reduceRight((sum, a) => t * (a + sum), 0) * Math.exp((-z * z) / 2)
  return z < 0 ? tail / 2 : 1 - tail / 2
}

function last(steps: Generator<MissCloud | number, MissCloud>): MissCloud {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

const cloudOf = (
  site: Parameters<typeof missCloudSteps>[0],
  options: Omit<MissCloudOptions, 'signal'> = {},
) => last(missCloudSteps(site, { way: 'cemented', ...options }))

const limitOf = (cloud: MissCloud, code: string, where = '') => {
  const found = cloud.limits.find((limit) => limit.code === code && limit.where === where)
  if (found === undefined) throw new Error(`no ${code} ${where}`)
  return found
}

const threeErrors = (share: number, draws: number) => 3 * Math.sqrt((share * (1 - share)) / draws)
const entryOnly = (sdMm: number): PlacementError => ownError({ entrySdMm: sdMm, tiltSdDeg: 0 })

test('of bone and access alone: the platform is told of and counts in no sum', () => {
  const site = closedSite(planeFacialAt(3.5))
  const error = entryOnly(0.4)
  const all = cloudOf(site, { error })
  const some = cloudOf(site, { error, counted: 'bone-and-access' })
  const outside = (cloud: MissCloud) => cloud.limits.filter(({ counted }) => !counted).map(({ code }) => code)
  expect(outside(all)).toEqual([])
  expect(outside(some).length).toBeGreaterThan(0)
  expect(outside(some).every((code) => /^(platform|rim|crownHeight)/.test(code))).toBe(true)
  expect(limitOf(some, 'facialMarginMm', 'facial').holds).toBe(limitOf(all, 'facialMarginMm', 'facial').holds)
  expect(some.allHold.share).toBeGreaterThanOrEqual(all.allHold.share)
  expect(some.limits.filter(({ counted }) => !counted).every(({ firstShare }) => firstShare === 0)).toBe(true)
})

describe('a plane of bone and no tilt: shares of a normal', () => {
  // Facial bone 1.5 mm, of which 1 mm is to stay: 0.5 mm of reserve.
  const site = closedSite(planeFacialAt(3.5))

  test.each([0.2, 0.4, 0.752, 1.5])('entry SD %s mm', (sdMm) => {
    const cloud = cloudOf(site, { error: entryOnly(sdMm), surface: false })
    const share = normalShare(0.5 / sdMm)
    const { holds, planned, percentiles } = limitOf(cloud, 'facialMarginMm', 'facial')
    expect(Math.abs(holds - share)).toBeLessThan(threeErrors(share, 10_000))
    expect(Math.abs(cloud.allHold.share - share)).toBeLessThan(threeErrors(share, 10_000))
    expect(planned).toBeCloseTo(1.5, 12)
    // The median and the 5th percentile of a normal, their standard errors 1.25 and 2.11 SD / sqrt(draws).
    expect(Math.abs((percentiles?.p50 ?? 0) - 1.5)).toBeLessThan((3 * 1.25 * sdMm) / 100)
    expect(Math.abs((percentiles?.p5 ?? 0) - (1.5 - 1.644854 * sdMm))).toBeLessThan((3 * 2.11 * sdMm) / 100)
  })

  test('the surface shifted as well: variances add', () => {
    const cloud = cloudOf(site, { error: entryOnly(0.3) })
    expect(cloud.surfaceSdMm).toBeCloseTo(SURFACE_SD_MM, 9)
    const share = normalShare(0.5 / Math.hypot(0.3, SURFACE_SD_MM))
    const without = normalShare(0.5 / 0.3)
    expect(Math.abs(cloud.allHold.share - share)).toBeLessThan(threeErrors(share, 10_000))
    expect(without - share).toBeGreaterThan(threeErrors(share, 10_000))
  })

  test('the surface alone', () => {
    const tight = closedSite(planeFacialAt(3.1))
    const share = normalShare(0.1 / SURFACE_SD_MM)
    const cloud = cloudOf(tight, { error: entryOnly(0) })
    expect(Math.abs(cloud.allHold.share - share)).toBeLessThan(threeErrors(share, 10_000))
    expect(cloud.allHoldStill).toBe(cloud.allHold.share)
    expect(cloud.tolerable).toBeNull()
    expect(cloud.complete).toBe(true)
  })
})

describe('the tolerable error', () => {
  const site = closedSite(planeFacialAt(3.5))
  // The 5th percentile among 2000 draws lies within 3 x 0.0473 of a normal's -1.645 (its standard error): 8.6 %.
  const spread = 0.09

  test('of one plane: reserve / 1.645 SD', () => {
    const { tolerable } = cloudOf(site, { error: entryOnly(0.4), surface: false })
    const scale = 0.5 / (1.644854 * 0.4)
    expect(Math.abs((tolerable?.scale ?? 0) / scale - 1)).toBeLessThan(spread)
    expect(tolerable?.entrySdMm.facial).toBeCloseTo(0.4 * (tolerable?.scale ?? 0), 12)
    expect(tolerable?.atLeast).toBe(false)
  })

  test('of one plane whose place is not sure: the surface takes its part of the variance', () => {
    const { tolerable } = cloudOf(site, { error: entryOnly(0.4) })
    const sdMm = Math.sqrt((0.5 / 1.644854) ** 2 - SURFACE_SD_MM ** 2)
    expect(Math.abs((tolerable?.entrySdMm.facial ?? 0) / sdMm - 1)).toBeLessThan(spread * 1.15)
  })

  test('so much holds when it is drawn', () => {
    const { tolerable } = cloudOf(site, { error: guidedError() })
    const error: PlacementError = {
      ...guidedError(),
      entrySdMm: tolerable?.entrySdMm ?? guidedError().entrySdMm,
      tiltSdDeg: tolerable?.tiltSdDeg ?? 0,
    }
    const { allHold } = cloudOf(site, { error, seed: 99 })
    expect(Math.abs(allHold.share - 0.95)).toBeLessThan(3 * Math.sqrt(0.0475 * (1 / 2000 + 1 / 10_000)))
  })

  test('none where a limit is missed as planned; the greatest looked at where nothing can be missed', () => {
    const missed = cloudOf(closedSite(planeFacialAt(2.9)), { surface: false })
    expect([missed.tolerable, missed.allHoldStill]).toEqual([null, 0])
    const wide = cloudOf(closedSite(planeFacialAt(60)), { error: entryOnly(0.5) })
    expect([wide.tolerable?.scale, wide.tolerable?.atLeast, wide.allHoldStill]).toEqual([4, true, 1])
  })
})

describe('limits', () => {
  test('one that never and one that always holds', () => {
    const limits = { ...WIDE_LIMITS, crownHeightCementMm: 20 }
    const cloud = cloudOf(closedSite(planeFacialAt(3.5), { limits }))
    const [first] = cloud.limits
    // Missed by 6 mm, 8 of its spreads: no other limit is missed by as many.
    expect([first.code, first.holds, first.firstShare]).toEqual(['crownHeightCementMm', 0, 1])
    expect(first.histogram?.counts.reduce((sum, n) => sum + n)).toBe(10_000)
    const always = limitOf(cloud, 'platformDepthGreatestMm')
    expect([always.holds, always.side, always.planned]).toEqual([1, 'greatest', 7])
    expect(cloud.allHold.share).toBe(0)
    // Wilson's half width where none of n holds: z2 / (n + z2) / 2.
    expect(cloud.allHold.halfWidth).toBeCloseTo(3.8415 / 10_003.8415 / 2, 6)
  })

  test('those least likely to hold come first, and of each miss one is first to fail', () => {
    const cloud = cloudOf(closedSite(roundBone(4), { limits: { ...WIDE_LIMITS, crownHeightCementMm: 13 } }))
    const shares = cloud.limits.map(({ holds }) => holds)
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
    expect(cloud.limits.reduce((sum, { firstShare }) => sum + firstShare, 0)).toBeCloseTo(1, 9)
    // Missed wherever a sector is: the side is told, not that it is near.
    expect(limitOf(cloud, 'marginMm', 'nearest').firstShare).toBe(0)
  })

  test('histograms count every draw, the planned value in the middle of them', () => {
    const { histogram, percentiles } = limitOf(
      cloudOf(closedSite(planeFacialAt(3.5)), { error: entryOnly(0.5), surface: false }),
      'marginMm',
      'nearest',
    )
    expect(histogram?.counts).toHaveLength(24)
    expect(histogram?.counts.reduce((sum, n) => sum + n)).toBe(10_000)
    // 0.5 to 99.5 % of a normal: 2 x 2.576 SD.
    expect(24 * (histogram?.width ?? 0)).toBeCloseTo(2 * 2.5758 * 0.5, 0)
    expect(percentiles?.p25).toBeCloseTo(1.5 - 0.6745 * 0.5, 1)
  })

  test('what cannot be measured counts as missed and is told', () => {
    const site = closedSite(({ platform }) => (platform[0] > 0 ? Number.NaN : 3))
    const unknown = {
      ...site,
      meter: () => {
        const meter = site.meter()
        return {
          ...meter,
          bone: (pose: Parameters<typeof meter.bone>[0]) => {
            const bone = meter.bone(pose)
            return { ...bone, nearestMm: Number.isNaN(bone.nearestMm) ? null : bone.nearestMm }
          },
        }
      },
    }
    const cloud = cloudOf(unknown)
    const nearest = limitOf(cloud, 'marginMm', 'nearest')
    expect(nearest.unmeasured).toBeCloseTo(10_000 * (1 - nearest.holds), 6)
    expect(Math.abs(nearest.holds - 0.5)).toBeLessThan(threeErrors(0.5, 10_000))
    expect(cloud.limits.reduce((sum, { firstShare }) => sum + firstShare, 0)).toBeCloseTo(1, 9)
  })

  test('a larger error holds less', () => {
    const shares = [0.1, 0.5, 1, 2, 3].map((scale) => {
      const error = ownError({ entrySdMm: 0.752 * scale, tiltSdDeg: 2.79 * scale })
      return cloudOf(closedSite(roundBone(4)), { error, draws: 2000 }).allHold.share
    })
    expect(shares).toEqual([...shares].sort((a, b) => b - a))
    expect(new Set(shares).size).toBe(5)
  })
})

describe('ways', () => {
  const deep = planeFacialAt(60)

  test('straight: the exit by closed form; no wall is asked for', () => {
    // Planned 2 mm behind the edge, 0.5 mm behind the band: entry alone moves the exit by as much.
    const site = closedSite(deep, { fixture: { shape: FIXTURE, platform: [-2, 0, 0], apical: [0, 0, 1] } })
    const cloud = cloudOf(site, { way: 'straight', error: entryOnly(0.6) })
    const share = normalShare(0.5 / 0.6)
    const exit = limitOf(cloud, 'edgeBandMm')
    expect(Math.abs(exit.holds - share)).toBeLessThan(threeErrors(share, 10_000))
    expect([exit.side, exit.limit, exit.planned]).toEqual(['greatest', -1.5, -2])
    expect(cloud.limits[0]).toEqual(exit)
  })

  test('angled: the least bend; with graft: no margins', () => {
    const site = closedSite(deep, { fixture: { shape: FIXTURE, platform: [0, 0, 0], apical: apicalFor(18) } })
    const angled = cloudOf(site, { way: 'angled', draws: 500 })
    // Clinical reference 12.2 and 12.3: 18 degrees and atan(1.5 / 14), the bend at the platform.
    expect(limitOf(angled, 'correctionDeg').planned).toBeCloseTo(18 + 6.116, 2)
    expect(angled.cautions.join()).toContain('whether or not it keeps the wall')
    const grafted = cloudOf(closedSite(planeFacialAt(1)), { way: 'straight-graft', draws: 500 })
    expect(grafted.limits.map(({ code }) => code)).not.toContain('facialMarginMm')
    expect(grafted.limits.map(({ code }) => code)).toContain('edgeBandMm')
  })

  test('when none is named: straight, then angled, then cemented, as the plan stands', () => {
    const wayAt = (facialDeg: number, x: number) =>
      plannedWay(
        closedSite(deep, { fixture: { shape: FIXTURE, platform: [x, 0, 0], apical: apicalFor(facialDeg) } }),
      )
    expect([wayAt(0, -2), wayAt(10, 0), wayAt(30, 0)]).toEqual(['straight', 'angled', 'cemented'])
    expect(last(missCloudSteps(closedSite(deep), { draws: 100 })).way).toBe('angled')
  })
})

describe('drawing', () => {
  const site = closedSite(roundBone(4))

  test('the same seed gives the same cloud, another seed another', async () => {
    const options = { way: 'cemented', draws: 1000 } as const
    const cloud = await missCloud(site, { ...options, seed: 5 })
    expect(cloudOf(site, { ...options, seed: 5 })).toEqual(cloud)
    expect(cloudOf(site, { ...options, seed: 6 }).allHold.share).not.toBe(cloud.allHold.share)
    expect(JSON.parse(JSON.stringify(cloud))).toEqual(cloud)
  })

  test('coarse first: 500, then 2000, then all, each the first draws of the next; progress grows', async () => {
    const clouds: MissCloud[] = []
    const shares: number[] = []
    let pauses = 0
    const cloud = await missCloud(site, {
      way: 'cemented',
      draws: 3000,
      onCloud: (part) => clouds.push(part),
      onProgress: (share) => shares.push(share),
      pause: async () => void pauses++,
    })
    expect(clouds.map(({ draws, complete, tolerable }) => [draws, complete, tolerable])).toEqual([
      [500, false, null],
      [2000, false, null],
      [3000, false, null],
    ])
    expect(clouds[0].limits).toEqual(cloudOf(site, { draws: 500 }).limits)
    expect(cloud.limits).toEqual(clouds[2].limits)
    expect([cloud.draws, cloud.complete]).toEqual([3000, true])
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
    expect(Math.max(...shares)).toBeLessThan(1)
    expect(pauses).toBe(clouds.length + shares.length)
  })

  test('an abort stops it between steps', async () => {
    const reason = new Error('enough')
    const signal = { aborted: false, reason }
    const clouds: MissCloud[] = []
    const drawing = missCloud(site, {
      signal,
      onCloud: (cloud) => {
        clouds.push(cloud)
        signal.aborted = true
      },
    })
    await expect(drawing).rejects.toBe(reason)
    expect(clouds).toHaveLength(1)
  })

  test('poses shown are those of the draws, and hold as they are measured', () => {
    const { poses, missed } = cloudOf(site, { draws: 500, surface: false })
    expect(poses).toHaveLength(120)
    for (const { platform, apical, holds } of poses) {
      expect(Math.hypot(...apical)).toBeCloseTo(1, 12)
      expect(roundBone(4)({ platform, apical }, 2, 10) >= 1).toBe(holds)
    }
    expect(missed.entryMm.p50).toBeGreaterThan(0.9)
    expect(missed.apexMm.p50).toBeGreaterThan(missed.entryMm.p50)
  })

  test('options that cannot be used are refused by name', () => {
    const trying = (options: Omit<MissCloudOptions, 'signal'>) => () => cloudOf(site, options)
    expect(trying({ draws: 10 })).toThrow('draws must be')
    expect(trying({ draws: 1000.5 })).toThrow('draws must be')
    expect(trying({ seed: -1 })).toThrow('seed must be')
    expect(trying({ error: { ...guidedError(), tiltSdDeg: Number.NaN } })).toThrow('tiltSdDeg')
  })
})
