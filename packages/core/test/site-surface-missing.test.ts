import { describe, expect, test } from 'vitest'
import { NODE_UNSCANNED, type SiteSurface, siteSurface, surfaceMargin } from '../src/bone/index.js'
import {
  axisPoint,
  type BoneModel,
  boneMargin,
  boneModel,
  fixtureFrame,
  fixtureProfile,
  flagsOf,
  normalize,
  prepareBone,
  radialDirection,
  surfaceGrid,
  toIndex,
  type Vec3,
  type Volume,
} from '../src/index.js'
import { cube } from './mesh-solids.js'
import { ridge } from './ridge-scene.js'
import { exitFromCylinder, SHELL, type ShellScene, shellScene } from './shell-scene.js'
import { withSlicesMissing } from './with-slices-missing.js'

const region = { lowMm: [-12, -12, -9], highMm: [12, 12, 14] } as const
const surfaceOf = (model: BoneModel): SiteSurface => siteSurface(model, region)

const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
const grid = surfaceGrid(profile)

/** Every ray of a fixture a little aslant in the shell: its state, what it misses the truth by, where it runs. */
function measured(scene: ShellScene, volume: Volume) {
  const apical = normalize([scene.axis[0] + 0.12, scene.axis[1] - 0.12, scene.axis[2]])
  const frame = fixtureFrame({ platform: [0.6, 0.6, -5], apical }, [1, 0, 0])
  const surface = surfaceOf(boneModel(volume))
  const margin = surfaceMargin(surface, frame, profile, grid)
  const rays = margin.states.map((state, n) => {
    const start = axisPoint(frame, grid.depthsMm[Math.floor(n / 72)])
    const direction = radialDirection(frame, grid.anglesDeg[n % 72])
    const truthMm = exitFromCylinder(start, direction, scene.origin, scene.axis, SHELL.outerMm)
    const end: Vec3 = [0, 1, 2].map((a) => start[a] + truthMm * direction[a]) as unknown as Vec3
    return { state, radialMm: margin.radialMm[n], errorMm: margin.radialMm[n] + 2 - truthMm, start, end }
  })
  return { surface, margin, rays }
}

/** The grid knows where data ends to half a step: so many voxels from the middle of a missing slice none may pass. */
const edgeOf = (spacingMm: number) => 0.5 - 0.125 / spacingMm

const percentile95 = (values: readonly number[]) =>
  values.map(Math.abs).sort((a, b) => a - b)[Math.floor(0.95 * values.length)]

for (const [spacingMm, sigmaMm] of [
  [0.2, 0.25],
  [0.4, 0.35],
] as const) {
  const scene = shellScene({ spacingMm, sigmaMm, noiseSd: 100, textureSd: 100, seed: 'a' })
  const whole = measured(scene, scene.volume)
  const edge = edgeOf(spacingMm)
  const middle = Math.round(toIndex(scene.volume.worldToIndex, [0, 0, -2])[2])

  for (const count of [1, 3])
    describe(`${count} slices missing through the fixture, voxels ${spacingMm} mm`, () => {
      const planes = Array.from({ length: count }, (_, n) => middle + n)
      const volume = withSlicesMissing(scene.volume, planes)
      const { margin, rays, surface } = measured(scene, volume)

      test('rays that reach them have no number, the others have one as good as ever', () => {
        expect(surface.kinds.includes(NODE_UNSCANNED)).toBe(true)
        for (const { state, start, end } of rays) {
          const depths = [start, end].map((p) => toIndex(volume.worldToIndex, p)[2])
          const crosses =
            Math.max(...depths) > middle - edge && Math.min(...depths) < middle + count - 1 + edge
          if (crosses) expect(state).toBe('no-data')
          expect(state).toMatch(/^(bone|no-data)$/)
        }
        const missing = rays.filter(({ state }) => state === 'no-data').length
        expect(missing).toBeGreaterThan(300)
        expect(missing).toBeLessThan(1500)
        const left = rays.flatMap(({ state }, n) => (state === 'bone' ? [n] : []))
        const before = left.map((n) => whole.rays[n].errorMm)
        expect(percentile95(left.map((n) => rays[n].errorMm))).toBeLessThan(1.2 * percentile95(before))
      })

      test('they are neither outside of bone nor bone', () => {
        expect(margin.dehiscenceMm).toBe(0)
        expect(margin.fenestrationMm2).toBe(0)
      })

      test('the nearest distance is to bone that was scanned', () => {
        const numbers = margin.radialMm.filter((r) => !Number.isNaN(r))
        expect(margin.nearestMm).toBeLessThan(Math.min(...numbers) + 1e-9)
        // Where a gap is about as near as the surface, the field between nodes is a little less than either.
        expect(margin.nearestMm).toBeGreaterThan((whole.margin.nearestMm ?? Number.NaN) - 0.05)
      })
    })

  test(`a slice missing 5 mm from the fixture, voxels ${spacingMm} mm: every ray as without it`, () => {
    const plane = Math.round(toIndex(scene.volume.worldToIndex, [0, 0, 6])[2])
    const { rays, margin } = measured(scene, withSlicesMissing(scene.volume, [plane]))
    expect(rays.every(({ state }) => state === 'bone')).toBe(true)
    rays.forEach(({ errorMm }, n) => {
      expect(Math.abs(errorMm - whole.rays[n].errorMm)).toBeLessThan(spacingMm / 20)
    })
    expect(Math.abs((margin.nearestMm ?? 0) - (whole.margin.nearestMm ?? 0))).toBeLessThan(0.01)
  })

  test(`slices missing along the fixture, voxels ${spacingMm} mm: no ray reads across them`, () => {
    const plane = Math.round(toIndex(scene.volume.worldToIndex, [3.4, 0, 0])[0])
    const volume = withSlicesMissing(scene.volume, [plane], 0)
    const { rays, margin } = measured(scene, volume)
    for (const { state, start, end } of rays) {
      const [from, to] = [start, end].map((p) => toIndex(volume.worldToIndex, p)[0])
      if (from < plane - edge && to > plane - edge) expect(state).toBe('no-data')
      if (Math.max(from, to) < plane - 1 / spacingMm) expect(state).toBe('bone')
    }
    expect(margin.dehiscenceMm).toBe(0)
  })
}

test('where the scan ends in bone rays have no number', () => {
  // Slices from z = -2.9 to 4.9 mm: the lower half of the fixture lies beyond.
  const volume = ridge(40)
  const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
  const long = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 })
  const margin = surfaceMargin(surfaceOf(boneModel(volume)), frame, long, surfaceGrid(long))
  margin.grid.depthsMm.forEach((depth, row) => {
    const facial = margin.states[72 * row]
    if (depth < 4.5) expect(facial).toBe('bone')
    if (depth > 5.3) expect(facial).toBe('no-data')
  })
  expect(margin.aboveApexMm).toBeNull()
})

describe('masks', () => {
  const fixture = {
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
    platform: [-1, 0, 0],
    apical: [0, 0, 1],
  } as const
  const facial = [1, 0, 0] as const
  const at = (row: number, deg: number) => row * 72 + deg / 5

  test('bone ends at a root of 3 mm radius, 7 mm beside the fixture, within 0.01 mm, and nearest to it', async () => {
    const volume = ridge()
    const root = { fromMm: [-1, 7, -5], toMm: [-1, 7, 20], radiusMm: 3 } as const
    const plain = await boneMargin(volume, { fixture, facial }, { mode: 'surface' })
    const masked = await boneMargin(volume, { fixture, facial }, { mode: 'surface', masks: [root] })
    expect(masked.states[at(20, 90)]).toBe('bone')
    expect(Math.abs(masked.radialMm[at(20, 90)] - 2)).toBeLessThan(0.01)
    // 15 degrees off the line to the root's axis, in the plane across both: 7 cos 15 - sqrt(9 - (7 sin 15)^2) - 2.
    const aside = (15 * Math.PI) / 180
    const oblique = 7 * Math.cos(aside) - Math.sqrt(9 - (7 * Math.sin(aside)) ** 2) - 2
    expect(Math.abs(masked.radialMm[at(20, 105)] - oblique)).toBeLessThan(0.02)
    expect(Math.abs((masked.nearestMm ?? 0) - 2)).toBeLessThan(0.01)
    const ray = at(20, 90) + 72 * (masked.source?.fan.mapFrom ?? 0)
    expect(masked.source?.masked[ray]).toBe(1)
    expect(flagsOf(masked.flags[at(20, 0)])).toEqual([])
    for (const deg of [0, 180, 200, 340])
      expect(masked.radialMm[at(20, deg)]).toBeCloseTo(plain.radialMm[at(20, deg)], 2)
  })

  test('and at a flat one, askew to the grid', async () => {
    const model = await prepareBone(ridge(), { masks: [cube(20, [-30.37, -10, -5])] })
    const margin = surfaceMargin(
      surfaceOf(model),
      fixtureFrame({ platform: [-1, 0, 0], apical: [0, 0, 1] }, [1, 0, 0]),
      fixtureProfile(fixture.shape),
      surfaceGrid(fixtureProfile(fixture.shape)),
    )
    // The cube's face at x = -10.37 lies beyond the oral plate at x = -6: nothing changes.
    expect(Math.abs(margin.radialMm[at(20, 180)] - 3)).toBeLessThan(0.01)
    const near = await prepareBone(ridge(), { masks: [cube(20, [-24.37, -10, -5])] })
    const ends = surfaceMargin(
      surfaceOf(near),
      fixtureFrame({ platform: [-1, 0, 0], apical: [0, 0, 1] }, [1, 0, 0]),
      fixtureProfile(fixture.shape),
      surfaceGrid(fixtureProfile(fixture.shape)),
    )
    expect(Math.abs(ends.radialMm[at(20, 180)] - (4.37 - 1 - 2))).toBeLessThan(0.005)
  })
})
