import { describe, expect, test } from 'vitest'
import {
  type Assessment,
  assess,
  boneModel,
  defaultDeficitGraft,
  type GraftSpec,
  meshFacts,
  type Plan,
  plannedGraftMeshes,
} from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'
import { ridge } from './ridge-scene.js'

// A ridge with flat faces: facial +x, apical +z; a fixture of 4 x 10 mm upright, its axis at x.

const volume = ridge()
const bone = boneModel(volume)
const radius = 2
const faceMm = 4

const spec = (told: Partial<GraftSpec & { kind: 'deficit' }> = {}): GraftSpec => ({
  kind: 'deficit',
  facialMm: 2,
  otherMm: 1,
  fromDepthMm: 0,
  natural: false,
  loss: { kind: 'share', share: 0 },
  overbuilt: false,
  ...told,
})

const measure = (axisX: number, change: Partial<Plan> = {}, mode: 'fast' | 'refined' = 'fast'): Assessment =>
  assess(volume, uprightPlan({ fixture: { ...uprightPlan().fixture, platform: [axisX, 0, 0] }, ...change }), {
    bone,
    mode,
  })
const code = ({ findings }: Assessment, wanted: string) => findings.find((finding) => finding.code === wanted)

describe('without a graft in the plan', () => {
  test('graft is null; nothing is needed in ample bone', () => {
    const found = measure(-1)
    expect(found.graft).toBeNull()
    expect(found.graftNeeded).toBeNull()
    expect(found.findings.filter(({ code }) => code.startsWith('graft'))).toEqual([])
  })

  test('near the facial face: what a graft to the wanted margins would take, of the limits of the plan', () => {
    const found = measure(1.5)
    expect(found.graft).toBeNull()
    // The axis lies 2.5 mm behind the face, so on the facial ray 2 + 2 - 2.5 are missing.
    expect(found.graftNeeded?.greatestMm).toBeCloseTo(radius + 2 - (faceMm - 1.5), 1)
    expect(code(found, 'graft-needed')?.value).toBe(found.graftNeeded?.volumeMm3)
    const less = measure(1.5, { limits: { facialMarginTargetMm: 1 } })
    expect(less.graftNeeded?.greatestMm).toBeCloseTo(0.5, 1)
    expect(measure(1.5, { limits: { facialMarginTargetMm: 0.4, marginMm: 0.4 } }).graftNeeded).toBeNull()
  })

  test('what is needed is what the same graft planned comes to', () => {
    expect(measure(1.5, { graft: spec() }).graft?.built).toEqual(measure(1.5).graftNeeded)
  })
})

describe('a planned graft', () => {
  const found = measure(2.6, { graft: spec({ loss: { kind: 'share', share: 0.2 } }) })
  const { graft } = found

  test('brings the margin to what was asked, within the interval; after the loss it is less by it', () => {
    const facial = (cover: Pick<Assessment['margin'], 'sectors'> | undefined) =>
      cover?.sectors.facial?.minimumMm ?? Number.NaN
    expect(facial(found.margin)).toBeCloseTo(faceMm - 2.6 - radius, 1)
    // Beside the sector's border the wanted margin passes from 2 to 1 mm.
    expect(facial(graft?.after)).toBeGreaterThan(1)
    const ray = (rows: readonly (readonly (number | null)[])[] | undefined) => rows?.[20]?.[0] ?? Number.NaN
    expect(ray(graft?.after.radialMm)).toBeCloseTo(2, 2)
    // On the facial ray bone ends 0.6 mm inside the fixture: 2 mm lie over it, a fifth goes.
    expect(ray(graft?.afterLoss.radialMm)).toBeCloseTo(1.6, 1)
  })

  test('closes the dehiscence; no other side is changed', () => {
    expect(found.margin.dehiscenceMm).toBeGreaterThan(9)
    expect(graft?.after.dehiscenceMm).toBe(0)
    expect(graft?.after.inBone.share).toBeCloseTo(1, 2)
    expect(graft?.after.sectors.palatal).toEqual(found.margin.sectors.palatal)
    expect(code(found, 'graft-bare')).toMatchObject({ level: 'met', value: 0 })
  })

  test('rows and columns fit; where nothing is grafted all three are null', () => {
    if (graft === null) throw new Error('no graft')
    for (const rows of [graft.innerMm, graft.outerMm, graft.keptMm]) {
      expect(rows).toHaveLength(graft.depthsMm.length)
      for (const row of rows) expect(row).toHaveLength(graft.anglesDeg.length)
    }
    let grafted = 0
    graft.outerMm.forEach((row, r) => {
      row.forEach((outer, c) => {
        const [inner, kept] = [graft.innerMm[r][c], graft.keptMm[r][c]]
        expect([inner === null, kept === null]).toEqual([outer === null, outer === null])
        if (outer === null || inner === null || kept === null) return
        grafted++
        expect(outer).toBeGreaterThanOrEqual(kept)
        expect(kept).toBeGreaterThanOrEqual(inner - 1e-9)
      })
    })
    expect(grafted).toBeGreaterThan(0)
  })

  test('walls, classes and timing are told; every statement has its source', () => {
    expect(graft?.walls.sides.find(({ side }) => side === 'facial')?.stands).toBe(false)
    expect(graft?.walls.sides.find(({ side }) => side === 'oral')?.stands).toBe(true)
    const seibert = graft?.classes.find(({ scheme }) => scheme === 'Seibert 1983')
    expect(seibert?.class).toBe('class I (horizontal)')
    expect(graft?.classes.find(({ scheme }) => scheme === 'Terheyden 2010')?.class).toBe('2/4')
    const said = [
      ...(graft?.classes ?? []),
      ...(graft?.timing.simultaneous ?? []),
      ...(graft?.timing.staged ?? []),
    ]
    for (const { text, source } of said) {
      expect(text).not.toBe('')
      expect(source).not.toBe('')
    }
  })

  test('the outline lies in the section plane, from the fixture out to the wanted margin', () => {
    const points = graft?.outlines.built.flat() ?? []
    expect(points.length).toBeGreaterThan(4)
    for (const [, y] of points) expect(Math.abs(y)).toBeLessThan(1e-6)
    expect(Math.max(...points.map(([x]) => x))).toBeCloseTo(2.6 + radius + 2, 2)
  })

  test('overbuilt, the wanted margin is what remains', () => {
    const over = measure(2.6, { graft: spec({ loss: { kind: 'mm', mm: 0.5 }, overbuilt: true }) }).graft
    expect(over?.after.radialMm[20][0]).toBeCloseTo(2.5, 2)
    expect(over?.afterLoss.radialMm[20][0]).toBeCloseTo(2, 2)
  })

  test('every number in it is one, so that it survives JSON', () => {
    const odd: unknown[] = []
    JSON.stringify(graft, (_key, value) => {
      if (typeof value === 'number' && !Number.isFinite(value)) odd.push(value)
      return value
    })
    expect(odd).toEqual([])
  })

  test('refined it is the same within the intervals of both', () => {
    const refined = measure(2.6, { graft: spec() }, 'refined')
    expect(refined.margin.mode).toBe('refined')
    const fast = measure(2.6, { graft: spec() })
    const [a, b] = [refined, fast].map((each) => each.graft?.built.volumeMm3 ?? Number.NaN)
    expect(Math.abs(a / b - 1)).toBeLessThan(0.1)
  })

  test('its surfaces are closed and hold the volume within 1 %', () => {
    const plan = uprightPlan({
      fixture: { ...uprightPlan().fixture, platform: [2.6, 0, 0] },
      graft: spec({ loss: { kind: 'share', share: 0.2 } }),
    })
    const meshes = plannedGraftMeshes(volume, plan, { bone })
    for (const [mesh, size] of [
      [meshes?.built, graft?.built],
      [meshes?.kept, graft?.kept],
    ] as const) {
      if (mesh === undefined || size === undefined) throw new Error('no graft')
      const { closed, volumeMm3 } = meshFacts(mesh)
      expect(closed).toBe(true)
      expect(Math.abs((volumeMm3 ?? Number.NaN) / size.volumeMm3 - 1)).toBeLessThan(0.01)
    }
    expect(plannedGraftMeshes(volume, uprightPlan(), { bone })).toBeNull()
  })
})

test('a graft that bone already makes up for is said to come to nothing', () => {
  const found = measure(-1, { graft: defaultDeficitGraft('11') })
  expect(found.graft).toBeNull()
  expect(code(found, 'graft-nothing')?.level).toBe('note')
})

describe('where little is known', () => {
  test('a fixture half a millimetre in front of bone: nothing of it is in bone, and it takes a graft all round', () => {
    const found = measure(6.5, { graft: spec() })
    expect(found.margin.inBone.share).toBe(0)
    // 2 mm facially and 1 mm elsewhere round a cylinder of 4 mm: between rings of either, less than 12 mm3 of them bone.
    const ring = (mm: number) => Math.PI * ((2 + mm) ** 2 - 4) * 10
    expect(found.graft?.built.volumeMm3).toBeGreaterThan(ring(1))
    expect(found.graft?.built.volumeMm3).toBeLessThan(ring(2))
    expect(found.graft?.after.dehiscenceMm).toBe(0)
    expect(found.graft?.classes.find(({ scheme }) => scheme === 'Terheyden 2010')?.class).toBe('4/4')
    expect(found.graft?.timing.staged.length).toBeGreaterThan(2)
  })

  test('outside the scan no graft is reckoned, and it is said', () => {
    const found = measure(200, { graft: spec() })
    expect(found.graft).toBeNull()
    expect(found.graftNeeded).toBeNull()
    expect(code(found, 'graft-nothing')?.text).toMatch(/data is missing/)
  })
})
