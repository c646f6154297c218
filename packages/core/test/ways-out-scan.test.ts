import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { createRandom, upperFront } from '@alveometer/phantom'
import { beforeAll, describe, expect, test } from 'vitest'
import { assess } from '../src/assess/index.js'
import { type BoneModel, boneModel } from '../src/bone/index.js'
import {
  type ExploredSite,
  exploredSite,
  limitReadings,
  type WayFound,
  wayBox,
  waysOutSteps,
} from '../src/explore/index.js'
import { waySpace } from '../src/explore/way-space.js'
import { measureFor } from '../src/explore/way-values.js'
import { type Plan, readPlan } from '../src/plan/index.js'
import { realSite } from './ways-out-real-site.js'

function search(site: ExploredSite): readonly WayFound[] {
  const steps = waysOutSteps(site)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value.ways
  }
}

const isMargin = ({ code, where }: { readonly code: string; readonly where: string }) =>
  code === 'facialMarginMm' || (code === 'marginMm' && where !== 'clearance')

/**
 * Strewn placements of the box, a third of them all over, the others ever nearer to what was found: none that keeps the
 * limits is better by more than 0.05 mm of bone, 0.5 degrees or 1 mm3.
 */
function expectUnbeaten(site: ExploredSite, found: WayFound, word: string, count: number): void {
  const space = waySpace(site, wayBox(site.limits))
  const meter = site.meter(found.shape)
  const random = createRandom(`ways out ${word} ${found.way}`)
  const centre = space.placeOf(found.pose)
  const byBone = found.objective.name === 'reserve' || (found.way === 'angled' && !found.exists)
  const others = found.held.filter((held) => !isMargin(held))
  if (others.some(({ reserve }) => (reserve ?? -1) < 0)) return
  const least = (held: WayFound['held']) =>
    Math.min(...held.filter(isMargin).map(({ reserve }) => reserve ?? -9))
  for (let n = 0; n < count; n++) {
    const share = n % 3 === 0 ? 1 : 0.5 ** (1 + (n % 7))
    const place = centre.map((at, k) => {
      const size = space.high[k] - space.low[k]
      const from = n % 3 === 0 ? space.low[k] : at - (share * size) / 2
      return Math.min(space.high[k], Math.max(space.low[k], from + share * size * random.uniform()))
    })
    const pose = space.poseAt(place)
    // The cheap limits first: most places miss one of them.
    const { exit, platform } = { exit: meter.exit(pose), platform: meter.platform(pose) }
    const cheap = limitReadings(found.way, site.limits, site.plan.site.tooth, { exit, platform })
    if (cheap.some(({ reserve }) => (reserve ?? -1) < 0)) continue
    const bone = meter.bone(pose, found.way === 'straight-graft')
    const margins = limitReadings('cemented', site.limits, site.plan.site.tooth, { bone })
    const better = byBone
      ? least(margins) > least(found.held) + 0.05
      : found.way === 'straight-graft'
        ? (bone.graftMm3 ?? 0) < found.objective.value - 1
        : least(margins) >= 0.1 && (meter.correctionDeg(pose) ?? 90) < found.objective.value - 0.5
    if (!better) continue
    const measured = measureFor(found.way, meter, pose, 'all')
    const bendDeg = measured.correctionWithWallDeg ?? null
    if (!byBone && found.way === 'angled' && !(bendDeg !== null && bendDeg < found.objective.value - 0.5))
      continue
    const all = limitReadings(found.way, site.limits, site.plan.site.tooth, measured)
    const kept = all.filter((held) => !isMargin(held) || (found.way === 'angled' && found.exists))
    const isKept = kept.every((held) => (held.reserve ?? -1) >= (isMargin(held) ? 0.1 : 0))
    expect(isKept, `${word} ${found.way}: ${place.join(' ')} is better than ${centre.join(' ')}`).toBe(false)
  }
}

describe('the sample scan', () => {
  let model: BoneModel
  beforeAll(() => {
    model = boneModel(upperFront().volume)
  }, 120_000)

  const planned = (name: string): Plan =>
    readPlan(readFileSync(join(import.meta.dirname, '../../../sample-volumes/upper-front', name), 'utf8'))

  test('what is told of a placement is what an assessment says of it; none of 2000 others is better', () => {
    const plan = planned('plan-opening.json')
    const site = exploredSite(model, plan)
    for (const found of search(site)) {
      const { exit, margin, angled, emergence, graftNeeded } = assess(
        model.volume,
        { ...plan, fixture: { shape: found.shape, ...found.pose } },
        { mode: 'surface', surface: site.surface, bone: model },
      )
      const { measures } = found
      expect(measures.nearestMm).toBeCloseTo(margin.minimum?.nearestMm ?? Number.NaN, 6)
      expect(measures.radialMm).toBeCloseTo(margin.minimum?.radialMm ?? Number.NaN, 6)
      expect(measures.graftMm3).toBeCloseTo(graftNeeded?.volumeMm3 ?? 0, 6)
      for (const [name, mm] of Object.entries(measures.sectors))
        expect(mm ?? null, name).toEqual(
          margin.sectors[name].minimumMm === null ? null : expect.closeTo(margin.sectors[name].minimumMm, 6),
        )
      expect(measures.class).toBe(exit.class)
      expect(measures.offsetMm).toBeCloseTo(exit.offsetMm ?? Number.NaN, 6)
      expect(found.platform.belowMarginMm).toBeCloseTo(emergence.belowMarginMm, 6)
      if (found.bendDeg !== null)
        expect(found.bendDeg).toBeCloseTo(angled.leastWithWall?.correctionDeg ?? Number.NaN, 6)
      expectUnbeaten(site, found, 'sample', 2000)
    }
  }, 120_000)

  test('plans that differ in the fixture alone have the same ways out', () => {
    const [one, other] = ['plan-opening.json', 'plan-leaning.json'].map((name) =>
      search(exploredSite(model, planned(name))),
    )
    for (const [n, found] of one.entries()) {
      expect(other[n].exists).toBe(found.exists)
      expect(Math.abs(other[n].objective.value - found.objective.value)).toBeLessThan(
        { mm: 0.05, deg: 0.5, mm3: 1 }[found.objective.unit],
      )
    }
  }, 120_000)
})

describe('strewn ridges under crowns of the table, by the meter of scans', () => {
  test.each([0, 2, 7, 9])(
    'seed %d: none of 1000 strewn placements is better',
    (seed) => {
      const site = realSite(seed)
      for (const found of search(site)) expectUnbeaten(site, found, `seed ${seed}`, 1000)
    },
    60_000,
  )
})
