import { cubicGrid, renderField } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import {
  boneMargin,
  boneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  flagsOf,
  surfaceGrid,
} from '../src/index.js'
import { ridge } from './ridge-scene.js'

const fixture = {
  shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
  platform: [-1, 0, 0],
  apical: [0, 0, 1],
} as const
const facial = [1, 0, 0] as const
const profile = fixtureProfile(fixture.shape)
const grid = surfaceGrid(profile)
/** A root of 3 mm radius beside the fixture, its axis 7 mm away towards +y (90 degrees). */
const root = { fromMm: [-1, 7, -5], toMm: [-1, 7, 20], radiusMm: 3 } as const
const at = (row: number, deg: number) => row * 72 + deg / 5

for (const mode of ['fast', 'refined'] as const)
  test(`${mode}: bone ends at a mask exactly, and nearest to it; elsewhere nothing changes`, async () => {
    const volume = ridge()
    const plain = await boneMargin(volume, { fixture, facial }, { mode })
    const masked = await boneMargin(volume, { fixture, facial }, { mode, masks: [root] })
    expect(masked.states[at(20, 90)]).toBe('bone')
    expect(masked.radialMm[at(20, 90)]).toBeCloseTo(2, 9)
    // 15 degrees off the line to the root's axis, in the plane across both: 7 cos 15 - sqrt(9 - (7 sin 15)^2) - 2.
    const aside = (15 * Math.PI) / 180
    expect(masked.radialMm[at(20, 105)]).toBeCloseTo(
      7 * Math.cos(aside) - Math.sqrt(9 - (7 * Math.sin(aside)) ** 2) - 2,
      9,
    )
    expect(Math.abs((masked.nearestMm ?? 0) - 2)).toBeLessThan(0.01)
    expect(flagsOf(masked.flags[at(20, 90)])).not.toContain('unrefined')
    for (const deg of [0, 180, 200, 340])
      expect(masked.radialMm[at(20, deg)]).toBeCloseTo(plain.radialMm[at(20, deg)], 2)
  })

test('an opening of 1.8 mm, blurred to 1.2, into marrow as dark as soft tissue is a leak, a socket of 4 mm is none', () => {
  const inBox = (x: number, y: number, z: number, wall: number) =>
    x > -6 + wall && x < 4 - wall && Math.abs(y) < 8 - wall && Math.abs(z - 5) < 8 - wall
  const solid = (x: number, y: number, z: number) =>
    inBox(x, y, z, 0) ? (inBox(x, y, z, 1.5) ? 100 : 1500) : 50
  const flagged = (radiusMm: number) => {
    const opened = (x: number, y: number, z: number) =>
      Math.hypot(y, z - 5) < radiusMm && x > 0 ? 50 : solid(x, y, z)
    const volume = renderField(opened, cubicGrid([110, 110, 110], 0.2, [0.03, 0.05, 5.02]))
    const frame = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, facial)
    const { flags } = fastMargin(boneModel(volume), frame, profile, grid)
    return flags.filter((bits) => flagsOf(bits).includes('leak')).length / flags.length
  }
  expect(flagged(0.9)).toBeGreaterThan(0.8)
  expect(flagged(2)).toBeLessThan(0.1)
})
