import { existsSync, readFileSync } from 'node:fs'
import {
  along,
  createSampler,
  fixtureFrame,
  fixtureProfile,
  fromRows,
  invert,
  radialDirection,
  radiusAtMm,
  sampleAt,
  toIndex,
  transformDirection,
  transformPoint,
  type Volume,
  type WorldPoint,
} from '@alveometer/core'
import { beforeAll, describe, expect, it } from 'vitest'
import {
  anatomyAt,
  sceneTruth,
  type UpperFront,
  upperFront,
  upperFrontAnatomy,
  upperFrontDefaults,
  upperFrontVolume,
} from '../src/index.js'

const simulated = new URL('../../../../shared/data/simulated-cbct/upper-front/truth.json', import.meta.url)
const noSimulation = !existsSync(simulated)
if (noSimulation) {
  if (process.env.CI === 'true') throw new Error('the simulated scan is missing')
  console.log('skipped: the simulated scan is not here')
}

let scene: UpperFront
let clean: UpperFront

beforeAll(() => {
  // Twice the voxel of the shipped scene: an eighth of the work, the same surfaces.
  scene = upperFront({ voxelMm: 0.4 })
  clean = upperFront({ voxelMm: 0.3, noiseSd: 0 })
}, 120_000)

const planned = (name: string, from: UpperFront = scene) => {
  const found = from.plans.find((plan) => plan.name === name)
  if (!found) throw new Error(`no plan ${name}`)
  return found.plan
}
const truthOf = (name: string, from: UpperFront = scene) => {
  const found = from.truth.fixtures.find((fixture) => fixture.name === name)
  if (!found) throw new Error(`no truth for ${name}`)
  return found
}

/** Greatest grey value within a ball. */
function brightest(volume: Volume, centre: WorldPoint, radiusMm: number): number {
  let most = Number.NEGATIVE_INFINITY
  for (let x = -radiusMm; x <= radiusMm; x += 0.4)
    for (let y = -radiusMm; y <= radiusMm; y += 0.4)
      for (let z = -radiusMm; z <= radiusMm; z += 0.4)
        most = Math.max(most, sampleAt(volume, [centre[0] + x, centre[1] + y, centre[2] + z]) ?? most)
  return most
}

describe('upperFront', () => {
  it('gives the same voxels for the same options and others for another seed', () => {
    const small = (seed: string) => upperFrontVolume({ ...upperFrontDefaults, voxelMm: 1, seed }).identity
    expect(small('a')).toEqual(small('a'))
    expect(small('a').fingerprint).not.toBe(small('b').fingerprint)
    expect(small('a').seriesUid).not.toBe(small('b').seriesUid)
  })

  it('misses the upper right central incisor: the gap is on the right (negative x), its neighbour on the left', () => {
    const { crown } = planned('opening')
    // Halfway down the crown: there is enamel on the patient's left of the midline and none on the right.
    const gap = transformPoint(fromRows(crown.pose), [0, 0, -5])
    expect(gap[0]).toBeLessThan(-2)
    expect(brightest(scene.volume, gap, 2)).toBeLessThan(500)
    expect(brightest(scene.volume, [-gap[0], gap[1], gap[2]], 2)).toBeGreaterThan(3500)
  })

  it('faces forward (-y) and has its roots above its crowns (+z)', () => {
    const { site, fixture } = planned('opening')
    expect(site.facial[1]).toBeLessThan(-0.8)
    expect(site.coronal[2]).toBeLessThan(-0.9)
    expect(fixture.apical[2]).toBeGreaterThan(0.9)
    // In front of the lip is air, behind the fixture's apex is bone or canal, above the palate the nose.
    const [x, y, z] = fixture.platform
    expect(sampleAt(scene.volume, [x, y - 13.8, z]) ?? -1000).toBeLessThan(-700)
    expect(sampleAt(scene.volume, [x - 2.5, y + 6, z + 21])).toBeLessThan(-500)
  })

  it('leaves 8 to 9 mm between the neighbours of the missing crown', () => {
    const { crown } = planned('opening')
    const pose = fromRows(crown.pose)
    const anatomy = upperFrontAnatomy(upperFrontDefaults)
    const reach = [1, -1].map((side) => {
      for (let mm = 1; mm < 9; mm += 0.05) {
        // The contact is in the coronal third of the crown.
        const near = [-6.5, -7.5, -8.5].map(
          (h) => anatomyAt(anatomy, transformPoint(pose, [0.3, side * mm, h])).tooth,
        )
        if (Math.min(...near) < 0) return mm
      }
      return Number.NaN
    })
    const gapMm = (reach[0] as number) + (reach[1] as number)
    expect(gapMm).toBeGreaterThan(8)
    expect(gapMm).toBeLessThan(9.5)
  })

  it.skipIf(noSimulation)('has the grey levels of a physical simulation', () => {
    const { checkValues } = JSON.parse(readFileSync(simulated, 'utf8')) as {
      checkValues: Record<string, number>
    }
    const of = (name: string) => checkValues[name] as number
    const within = (test: (p: ReturnType<typeof anatomyAt>) => boolean) => {
      const anatomy = upperFrontAnatomy(upperFrontDefaults)
      const { volume } = scene
      const values: number[] = []
      const at = planned('opening').fixture.platform
      for (let x = -14; x < 14; x += 0.57)
        for (let y = -6; y < 16; y += 0.57)
          for (let z = -4; z < 14; z += 0.57) {
            const point: WorldPoint = [at[0] + x, at[1] + y, at[2] + z]
            if (!test(anatomyAt(anatomy, point))) continue
            const grey = sampleAt(volume, point)
            if (grey !== null) values.push(grey)
          }
      expect(values.length).toBeGreaterThan(50)
      return values.reduce((sum, v) => sum + v, 0) / values.length
    }
    const cancellous = within((p) => p.marrow < -1 && p.tooth > 1.5 && p.canal > 1.5)
    expect(Math.abs(cancellous / of('mean_cancellous') - 1)).toBeLessThan(0.2)
    const cortical = within((p) => p.bone < -0.6 && p.marrow > 0.6 && p.tooth > 1 && p.canal > 1)
    expect(Math.abs(cortical / of('mean_cortical') - 1)).toBeLessThan(0.06)
    const dentine = within((p) => p.tooth < -1.2 && p.tooth > -1.7 && p.bone < -1)
    expect(Math.abs(dentine / of('mean_dentine') - 1)).toBeLessThan(0.1)
  })

  it('holds no data outside its cylinder and bone at the site inside', () => {
    const { volume } = scene
    expect(volume.noData).toBe(-32768)
    expect(volume.data[0]).toBe(-32768)
    const [nx, ny] = volume.shape
    const share = Array.from(volume.data).filter((v) => v === -32768).length / volume.data.length
    // A circle of 24.8 mm in a square of 50 mm leaves 1 - pi 24.8^2 / 50^2.
    expect(share).toBeCloseTo(1 - (Math.PI * 24.8 ** 2) / 2500, 2)
    expect(nx).toBe(ny)
  })
})

describe('the demo plans', () => {
  /** Facial offset of the axis at the height of the incisal edge, 10.5 mm coronal of the cervical centre. */
  function offsetAtEdge(name: string): number {
    const { crown, fixture } = planned(name)
    const toCrown = invert(fromRows(crown.pose))
    const p = transformPoint(toCrown, fixture.platform)
    const d = transformDirection(toCrown, fixture.apical)
    return p[0] + (d[0] * (-10.5 - p[2])) / d[2]
  }

  it('leaning: stays in bone all round and leaves the crown facially', () => {
    expect(truthOf('leaning').minimum?.marginMm).toBeGreaterThan(0.4)
    expect(offsetAtEdge('leaning')).toBeGreaterThan(1.5)
  })

  it('upright: leaves behind the edge and breaks through the facial plate', () => {
    const { minimum } = truthOf('upright')
    expect(minimum?.marginMm).toBeLessThan(-0.3)
    expect([0, 5, 10, 350, 355]).toContain(minimum?.angleDeg)
    expect(offsetAtEdge('upright')).toBeLessThan(-1.5)
  })

  it('opening: thin facial margin, exit near the edge', () => {
    const { minimum } = truthOf('opening')
    expect(minimum?.marginMm).toBeGreaterThan(0.45)
    expect(minimum?.marginMm).toBeLessThan(1)
    expect(minimum?.angleDeg).toBe(0)
    expect(Math.abs(offsetAtEdge('opening'))).toBeLessThan(0.75)
  })
})

describe('the truth', () => {
  it('puts every exit on the outer surface of bone, before any tooth, canal or border', () => {
    const anatomy = upperFrontAnatomy(upperFrontDefaults)
    for (const name of ['opening', 'upright']) {
      const { fixture, site } = planned(name)
      const frame = fixtureFrame(fixture, site.facial)
      const profile = fixtureProfile(fixture.shape)
      const truth = truthOf(name)
      expect(truth.depthsMm.length).toBe(23)
      expect(truth.anglesDeg.length).toBe(72)
      truth.depthsMm.forEach((depth, row) => {
        truth.anglesDeg.forEach((angle, columnAt) => {
          const margin = truth.radialMarginMm[row]?.[columnAt]
          if (margin === null || margin === undefined) {
            expect(truth.state[row]?.[columnAt]).not.toBe('bone')
            return
          }
          const exit = margin + radiusAtMm(profile, depth)
          const at = (r: number) =>
            anatomyAt(anatomy, along(along(frame.origin, frame.z, depth), radialDirection(frame, angle), r))
          expect(Math.abs(at(exit).bone)).toBeLessThan(1e-3)
          expect(at(exit + 0.01).bone).toBeGreaterThan(0)
          expect(at(exit / 2).bone).toBeLessThan(0)
          expect(at(exit / 2).tooth).toBeGreaterThan(0)
        })
      })
    }
  })

  it('agrees with the voxels: half height of a thick palatal plate, without noise', () => {
    const { fixture, site } = planned('leaning', clean)
    const frame = fixtureFrame(fixture, site.facial)
    const profile = fixtureProfile(fixture.shape)
    const sample = createSampler(clean.volume)
    const errors: number[] = []
    const truth = truthOf('leaning', clean)
    for (const depth of [3, 4, 5, 6, 7, 8])
      for (const angle of [175, 180, 185, 190, 195, 200, 205, 210]) {
        const margin = truth.radialMarginMm[truth.depthsMm.indexOf(depth)]?.[truth.anglesDeg.indexOf(angle)]
        if (typeof margin !== 'number') continue
        const exit = margin + radiusAtMm(profile, depth)
        const direction = radialDirection(frame, angle)
        const origin = along(frame.origin, frame.z, depth)
        const grey = (r: number) => {
          const [i, j, k] = toIndex(clean.volume.worldToIndex, along(origin, direction, r))
          return sample(i, j, k)
        }
        const level = (grey(exit - 0.75) + grey(exit + 1.1)) / 2
        let r = exit - 0.7
        while (grey(r) > level && r < exit + 1) r += 0.005
        errors.push(r - exit)
      }
    const mean = errors.reduce((sum, e) => sum + e, 0) / errors.length
    expect(errors.length).toBeGreaterThan(30)
    expect(Math.abs(mean)).toBeLessThan(0.03)
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.1)
  })

  it('measures the facial plate that was asked for', () => {
    const thin = sceneTruth({ ...upperFrontDefaults, facialPlateMm: 0.4 }, []).facialPlate
    const thick = sceneTruth({ ...upperFrontDefaults, facialPlateMm: 1 }, []).facialPlate
    expect(thin.length).toBe(20)
    const middle = (samples: typeof thin) =>
      samples.slice(5, 10).reduce((sum, p) => sum + p.thicknessMm, 0) / 5
    expect(middle(thin)).toBeCloseTo(0.45, 0)
    expect(middle(thick) - middle(thin)).toBeGreaterThan(0.45)
    expect(middle(thick) - middle(thin)).toBeLessThan(0.75)
    for (const sample of thin) expect(sample.outwardNormal[1]).toBeLessThan(-0.7)
  })
})
