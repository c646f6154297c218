import { readFileSync } from 'node:fs'
import { upperFront } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { missingBone } from '../src/assess/default-graft.js'
import { resolveLimits } from '../src/assess/limits.js'
import { inSector, sectorsOf } from '../src/assess/sectors.js'
import { boneModel, surfaceProbe } from '../src/bone/index.js'
import { siteSurface } from '../src/bone/site-surface.js'
import { surfaceMargin } from '../src/bone/surface-margin.js'
import { type FixtureFrame, fixtureFrame, fixtureProfile, surfaceGrid } from '../src/fixture/index.js'
import { graftField, graftSize, QuickVolume, quickGraftGrid } from '../src/graft/index.js'
import { readPlan } from '../src/plan/index.js'
import { add, along, scale } from '../src/space/index.js'
import { lot } from './probe-field.js'

const samples = new URL('../../../sample-volumes/upper-front/', import.meta.url)
const model = boneModel(upperFront().volume)

/** A plan of the sample, its surface of bone, and poses up to 1 mm and some 20 degrees beside the planned one. */
function siteOf(name: string) {
  const plan = readPlan(readFileSync(new URL(`plan-${name}.json`, samples), 'utf8'))
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const profile = fixtureProfile(plan.fixture.shape)
  const middle = along(frame.origin, frame.z, profile.lengthMm / 2)
  const surface = siteSurface(model, {
    lowMm: add(middle, [-15, -15, -15]),
    highMm: add(middle, [15, 15, 15]),
  })
  const sectors = sectorsOf(plan.site.tooth)
  const limits = resolveLimits(plan.site.tooth, plan.limits)
  const columns = (grid = surfaceGrid(profile)) => {
    const ofColumn = grid.anglesDeg.map((angle) => sectors.findIndex((sector) => inSector(sector, angle)))
    return { count: sectors.length, ofColumn, limitsMm: ofColumn.map(() => 1) }
  }
  const draw = lot(name.length)
  const about = (mm: number) => mm * (2 * draw() - 1)
  const poses = (count: number): FixtureFrame[] =>
    Array.from({ length: count }, () => {
      const shift = add(add(scale(frame.x, about(1)), scale(frame.y, about(0.7))), scale(frame.z, about(1)))
      const turn = add(scale(frame.x, about(0.35)), scale(frame.y, about(0.25)))
      const moved = { platform: add(frame.origin, shift), apical: add(frame.z, turn) }
      return fixtureFrame(moved, plan.site.facial)
    })
  return { plan, profile, surface, columns, poses: [frame, ...poses(24)], spec: missingBone(limits) }
}

describe.each(['upright', 'leaning', 'opening'])('the sample with plan %s', (name) => {
  const { plan, profile, surface, columns, poses, spec } = siteOf(name)
  const grid = surfaceGrid(profile)
  const margins = poses.map((frame) => surfaceMargin(surface, frame, profile, grid))

  test('least by sector, least of all and nearest are those of the whole margin', () => {
    const { ofColumn } = columns()
    const probe = surfaceProbe(surface, profile, grid, columns())
    for (const [n, frame] of poses.entries()) {
      const { radialMm: rays, minimum, nearestMm, states } = margins[n]
      const least = [0, 1, 2, 3].map(() => Number.NaN)
      for (const [ray, mm] of rays.entries()) {
        const sector = ofColumn[ray % 72]
        if (!Number.isNaN(mm) && !(mm >= least[sector])) least[sector] = mm
      }
      const found = probe.measure(frame, null)
      for (const [sector, mm] of least.entries())
        if (Number.isNaN(mm)) expect(found.sectorsMm[sector]).toBeNaN()
        else expect(Math.abs(found.sectorsMm[sector] - mm)).toBeLessThan(1e-6)
      expect(Math.abs(found.radialMm - (minimum?.radialMm ?? Number.NaN))).toBeLessThan(1e-6)
      expect(Math.abs(found.nearestMm - (nearestMm ?? Number.NaN))).toBeLessThan(1e-6)
      if (!states.includes('no-data')) expect(found.openShare).toBe(0)
    }
  })

  test('the volume missing is that of the graft on the whole margin within 1 %, or 0.3 mm3', () => {
    for (const few of [false, true]) {
      const rays = few ? quickGraftGrid(profile) : grid
      const probe = surfaceProbe(surface, profile, rays, columns(rays))
      const quick = new QuickVolume(probe.rays, spec)
      for (const [n, frame] of poses.entries()) {
        const field = graftField({ margin: margins[n], frame, profile, spec, site: plan.site })
        const wanted = field === null ? 0 : graftSize(field, profile).volumeMm3
        if (few) probe.follow(frame, quick.askedMm)
        else probe.measure(frame, quick.askedMm)
        const mm3 = quick.volumeMm3()
        expect(Math.abs(mm3 - wanted), `${mm3} for ${wanted}`).toBeLessThan(Math.max(0.3, 0.01 * wanted))
      }
    }
  })
})
