import { describe, expect, test } from 'vitest'
import {
  type ExploredSite,
  type FixturePose,
  type WayFound,
  type WayOut,
  type WaysOut,
  type WaysOutSpec,
  waysOut,
  waysOutSteps,
} from '../src/explore/index.js'
import type { FixtureShape } from '../src/fixture/index.js'
import { type RidgeScene, ridgeSite } from './ways-out-meter.js'
import { leaningFace, strewnScene } from './ways-out-sites.js'

const cylinder = (diameterMm: number, lengthMm: number): FixtureShape => ({
  kind: 'cylinder',
  diameterMm,
  lengthMm,
})

function search(site: ExploredSite, spec: WaysOutSpec = {}): WaysOut {
  const steps = waysOutSteps(site, spec)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

function way(answer: WaysOut, name: WayOut): WayFound {
  const found = answer.ways.find((one) => one.way === name)
  if (found === undefined) throw new Error(`no ${name}`)
  return found
}

/** Two parallel plates so far apart, leaning, the apex palatal; crest, apex and teeth out of the way; a crown that hinders nothing. */
const plates = (widthMm: number, leanDeg = 0, change: Partial<RidgeScene> = {}): RidgeScene => ({
  faces: [
    leaningFace(widthMm / 2 / Math.cos(radians(leanDeg)), 5, leanDeg),
    leaningFace(-widthMm / 2 / Math.cos(radians(leanDeg)), 5, leanDeg, -1),
    { n: [0, 0, -1], at: 9 },
    { n: [0, 1, 0], at: 9 },
    { n: [0, -1, 0], at: 9 },
    { n: [0, 0, 1], at: 30 },
  ],
  exitZ: -14,
  edgeX: 6,
  marginX: 3,
  ...change,
})
const radians = (degrees: number): number => (degrees * Math.PI) / 180
const WIDE_RIM = { rimOralLeastMm: 0, rimOralGreatestMm: 10 }

const codes = (held: WayFound['held']) => held.map(({ code, where }) => (where === '' ? code : where)).sort()

describe('between parallel plates all is known', () => {
  test('upright in the middle: half of what the fixture leaves', () => {
    for (const widthMm of [5, 6.4, 7.3]) {
      const found = way(search(ridgeSite(plates(widthMm))), 'cemented')
      expect(found.objective).toMatchObject({ name: 'reserve', unit: 'mm' })
      expect(found.objective.value).toBeCloseTo((widthMm - 4) / 2 - 1, 2)
      expect(Math.abs(found.measures.tiltFacialDeg)).toBeLessThan(0.3)
      expect(found.pose.platform[0]).toBeCloseTo(0, 1)
      expect(found.exists).toBe(widthMm > 6.2)
    }
  })

  test('leaning plates: the cemented fixture leans with them and keeps as much', () => {
    const site = ridgeSite(plates(6.6, 18, { marginX: 6 }), { limits: WIDE_RIM })
    const found = way(search(site), 'cemented')
    expect(found.objective.value).toBeCloseTo(0.3, 2)
    expect(found.measures.tiltFacialDeg).toBeCloseTo(18, 0)
    expect(codes(found.binding)).toEqual(expect.arrayContaining(['facial', 'nearest', 'palatal']))
  })

  test('a straight exit out of leaning plates: the best of all sideways places and tilts, worked out on a fine grid', () => {
    // Leaning by 18 degrees; the edge lies at x = 2, so the channel leaves at x = 0.5 at most, 14 mm over z = 0.
    const [lean, platformZ, limitX] = [radians(18), 0.45, 0.5]
    const [nx, nz] = [Math.cos(lean), Math.sin(lean)]
    let most = Number.NEGATIVE_INFINITY
    for (let x = -3; x <= 3; x += 0.005)
      for (let tilt = -0.2; tilt <= lean + 0.1; tilt += radians(0.05)) {
        if (x + Math.tan(tilt) * (platformZ + 14) > limitX) continue
        const platform = nx * x + nz * (platformZ - 5)
        const apex = platform + 10 * Math.sin(lean - tilt)
        const marginMm = 3.3 - Math.max(Math.abs(platform), Math.abs(apex)) - 2 * Math.cos(lean - tilt)
        most = Math.max(most, marginMm - 1)
      }
    const site = ridgeSite(plates(6.6, 18, { edgeX: 2, marginX: 6 }), { limits: WIDE_RIM })
    const depth = platformZ - marginZOf(site)
    const found = way(search(site, { box: { depthMm: [depth, depth] } }), 'straight')
    expect(found.objective.value).toBeCloseTo(most, 2)
    expect(most).toBeLessThan(0)
    expect(codes(found.conflict)).toEqual(expect.arrayContaining(['edgeBandMm', 'facial', 'palatal']))
  })
})

/** Where the planned margin lies, z in the frame of the plan. */
const marginZOf = ({ crown }: ExploredSite) => crown.crown.landmarks.zenith[2] - 3.5

describe('where there is no way', () => {
  test('a thin ridge: the margins that are short, and by how much, in words that agree with the limit', () => {
    const answer = search(ridgeSite(plates(5.3)))
    for (const name of ['straight', 'angled', 'cemented'] as const) {
      const { exists, conflict, binding, words } = way(answer, name)
      expect(exists).toBe(false)
      expect(binding).toEqual([])
      expect(codes(conflict)).toEqual(expect.arrayContaining(['facial', 'nearest', 'palatal']))
      expect(words).toMatch(
        /keeps 0\.6[45] mm of (facial|palatal) bone at most, 0\.3[56] mm less than the limit of 1 mm\.$/,
      )
    }
    const printed =
      way(answer, 'cemented')
        .words.match(/\d\.\d\d(?= mm)/g)
        ?.map(Number) ?? []
    expect(printed[0] + printed[1]).toBeCloseTo(1, 9)
    expect(way(answer, 'straight-graft').exists).toBe(true)
    // 0.35 mm palatally and 1.35 mm facially to the wanted 1 and 2 mm, 25 mm3 a millimetre.
    expect(way(answer, 'straight-graft').objective.value).toBeCloseTo(25 * 1.7, 0)
    expect(way(answer, 'straight-graft').words).toContain('43 mm3')
  })

  test('a limit that is met with less than is wanted in hand', () => {
    const site = ridgeSite(plates(6.1))
    expect(way(search(site), 'cemented')).toMatchObject({ exists: false })
    expect(way(search(site), 'cemented').words).toContain('but not the 0.1 mm in hand')
    expect(way(search(site, { inHandMm: 0 }), 'cemented')).toMatchObject({ exists: true, conflict: [] })
  })

  test('no crown where a straight exit is wanted: exit and wall cannot be kept together, and are named', () => {
    const answer = search(ridgeSite(plates(8, 0, { edgeX: 0, wall: { oral: -2.2, facial: 4 } })))
    const straight = way(answer, 'straight')
    expect(straight.exists).toBe(false)
    expect(codes(straight.conflict)).toEqual(expect.arrayContaining(['edgeBandMm', 'leastWallMm']))
    // Exit -1.5 at most, wall from -2.2 + 1.15 + 0.8 = -0.25 on: 1.25 mm, half of it each.
    expect(straight.words).toBe(
      'A straight channel that leaves behind the tooth cannot keep the limits of crown and platform together: at best the exit behind the tooth is missed by 0.63 mm and the wall round the channel is missed by 0.63 mm.',
    )
    expect(way(answer, 'straight-graft').exists).toBe(false)
    expect(way(answer, 'cemented').exists).toBe(true)
  })

  test('a crown too low for cement: that way alone is closed, by its height', () => {
    const answer = search(ridgeSite(plates(8, 0, { exitZ: -5.5 })))
    const cemented = way(answer, 'cemented')
    expect(cemented.exists).toBe(false)
    expect(codes(cemented.conflict)).toContain('crownHeightCementMm')
    expect(cemented.words).toContain('the height of the crown is missed by')
    expect(way(answer, 'straight').exists).toBe(true)
  })

  test('outside of bone', () => {
    const found = way(search(ridgeSite(plates(3.2))), 'cemented')
    expect(found.objective.value).toBeCloseTo(-1.4, 2)
    expect(found.words).toMatch(
      /leaves the fixture 0\.4[01] mm outside of bone at least .*, 1\.4[01] mm less than the limit of 1 mm\./,
    )
  })
})

describe('the least bend', () => {
  test('none where the straight channel is there', () => {
    const angled = way(search(ridgeSite(plates(8))), 'angled')
    expect(angled).toMatchObject({ exists: true, bendDeg: 0, binding: [] })
    expect(angled.words).toMatch(/^Without any bend/)
  })

  test('leaning plates that keep just their margins: the bend from the lean to the exit', () => {
    // Room for the limit and what is in hand when it leans with the plates, and for nothing else.
    const angled = way(
      search(ridgeSite(plates(6.206, 20, { edgeX: 5, marginX: 6 }), { limits: WIDE_RIM })),
      'angled',
    )
    expect(angled.exists).toBe(true)
    expect(angled.measures.tiltFacialDeg).toBeCloseTo(20, 1)
    const { platform } = angled.pose
    const [pivotX, pivotZ] = [platform[0] + 3 * Math.tan(radians(20)), platform[2] - 3]
    const wanted = Math.atan2(3.5 - pivotX, pivotZ + 14)
    // The 0.006 mm that are left over let it turn by 0.07 degrees.
    expect(Math.abs((angled.bendDeg ?? 0) - (20 - (wanted * 180) / Math.PI))).toBeLessThan(0.1)
    expect(angled.words).toContain(
      `A bend of ${(Math.ceil((angled.bendDeg ?? 0) * 10 - 1e-6) / 10).toFixed(1)} deg`,
    )
  })
})

describe('several shapes', () => {
  const site = ridgeSite(plates(7))

  test('most bone is left by the narrowest', () => {
    const { ways } = search(site, { shapes: [cylinder(4.5, 10), cylinder(3.5, 10), cylinder(4, 10)] })
    expect(ways.find((one) => one.way === 'cemented')?.shape).toEqual(cylinder(3.5, 10))
  })

  test('of those that need neither graft nor bend the widest, then the longest', () => {
    const answer = search(ridgeSite(plates(9)), {
      shapes: [cylinder(3.5, 11), cylinder(4, 9), cylinder(4, 11), cylinder(3.5, 9)],
    })
    expect(way(answer, 'straight-graft')).toMatchObject({ shape: cylinder(4, 11), objective: { value: 0 } })
    expect(way(answer, 'angled').shape).toEqual(cylinder(4, 11))
    expect(answer.shapes).toHaveLength(4)
  })
})

describe('how it is asked and answered', () => {
  const site = ridgeSite(strewnScene(3))

  test('a first answer that says that it is one, then shares that rise to the end', () => {
    const steps = waysOutSteps(site)
    const answers: WaysOut[] = []
    const shares: number[] = []
    for (;;) {
      const step = steps.next()
      if (typeof step.value === 'number') shares.push(step.value)
      else answers.push(step.value)
      if (step.done) break
    }
    expect(answers.map(({ complete }) => complete)).toEqual([false, true])
    expect(answers[0].measured).toBeLessThan(answers[1].measured)
    for (const [n, share] of shares.entries()) expect(share).toBeGreaterThanOrEqual(shares[n - 1] ?? 0)
    expect(shares.at(-1)).toBeLessThanOrEqual(1)
    for (const { ways } of answers)
      expect(ways.map((one) => one.way)).toEqual(['straight', 'straight-graft', 'angled', 'cemented'])
  })

  test('the same site, the same answer; plain and serialisable', () => {
    const answer = search(site)
    expect(search(site)).toEqual(answer)
    expect(JSON.parse(JSON.stringify(answer))).toEqual(answer)
    for (const { words } of answer.ways)
      expect(words).not.toMatch(/NaN|Infinity|undefined|null|safe|recommend/)
  })

  test('where nothing is known beside the ridge, that is said', () => {
    expect(search(site).cautions[0]).toContain('not known here')
  })

  test('what holds is what is measured at the pose', () => {
    for (const { held, exists, measures, pose, shape } of search(site).ways) {
      const again = site.meter(shape).bone(pose)
      expect(measures.nearestMm).toBe(again.nearestMm)
      if (exists) for (const { reserve } of held) expect(reserve).toBeGreaterThanOrEqual(0)
    }
  })

  test('with pauses, progress and an end on request', async () => {
    let pauses = 0
    let first: WaysOut | null = null
    const answer = await waysOut(site, {
      onWays: (ways) => {
        first = ways
      },
      onProgress: (share) => expect(share).toBeLessThanOrEqual(1),
      pause: async () => {
        pauses++
      },
    })
    expect(answer).toEqual(search(site))
    expect(first).not.toBeNull()
    expect(pauses).toBeGreaterThan(20)
    const reason = new Error('enough')
    const signal = { aborted: false, reason }
    const running = waysOut(site, {
      signal,
      pause: async () => {
        signal.aborted = true
      },
    })
    await expect(running).rejects.toBe(reason)
  })

  test.each<[WaysOutSpec, string]>([
    [{ inHandMm: -0.1 }, 'inHandMm must lie between 0 and 1'],
    [{ inHandMm: Number.NaN }, 'inHandMm must lie between 0 and 1'],
    [{ shapes: [] }, 'shapes must not be empty'],
    [{ box: { facialMm: [1, -1] } }, 'box.facialMm must be least and greatest'],
    [{ box: { tiltFacialDeg: [-95, 0] } }, 'box.tiltFacialDeg must lie between -90 and 90'],
  ])('%j is refused', (spec, message) => {
    expect(() => search(site, spec)).toThrow(message)
  })

  test('a place is held inside of its box', () => {
    const inBox = (pose: FixturePose) => pose.platform[0]
    const { ways } = search(site, { box: { facialMm: [0.4, 0.6] } })
    for (const { pose } of ways) {
      expect(inBox(pose)).toBeGreaterThanOrEqual(0.4 - 1e-9)
      expect(inBox(pose)).toBeLessThanOrEqual(0.6 + 1e-9)
    }
  })
})
