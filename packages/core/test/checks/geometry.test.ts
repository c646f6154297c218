import { describe, expect, test } from 'vitest'
import { type BoneMargin, fixtureProfile, surfaceGrid } from '../../src/index.js'
import {
  columnOf,
  cylinder,
  EDGE_MM,
  ellipticBone,
  flatBone,
  measured,
  roundBone,
  sharpRidge,
  upright,
} from './bone-scenes.js'

// Margins in closed form, worked out by hand and by brute force, through voxels of 0.2 mm without noise.
const FAST_MM = 0.03
const REFINED_MM = 0.015
/** Where the ray meets the surface at 45 degrees or flatter an error along the normal counts up to twice. */
const OBLIQUE = 2

const at = (margin: BoneMargin, row: number, deg: number) =>
  margin.radialMm[row * margin.grid.anglesDeg.length + columnOf(margin, deg)]
const nearestAt = (margin: BoneMargin, row: number, deg: number) =>
  margin.nearestMapMm?.[row * margin.grid.anglesDeg.length + columnOf(margin, deg)] ?? Number.NaN

const isNear = (found: number, expected: number, toleranceMm: number) =>
  expect(Math.abs(found - expected)).toBeLessThan(toleranceMm)

describe('round bone R 5, parallel axis 1.3 mm towards angle 0, fixture radius 2.05', () => {
  const profile = cylinder(2.05, 6)
  const { fast, refined } = measured(
    roundBone(),
    profile,
    surfaceGrid(profile, 13, 72),
    upright([1.3, 0, -3]),
  )
  for (const [deg, radial, shortest] of [
    [0, 1.65, 1.65],
    [45, 1.945535, 1.891724],
    [90, 2.778043, 2.572553],
    [135, 3.784012, 3.542735],
    [180, 4.25, 4.25],
  ])
    test(`at ${deg} degrees: radial ${radial}, shortest ${shortest}`, () => {
      isNear(at(fast, 6, deg), radial, FAST_MM)
      isNear(at(refined, 6, deg), radial, REFINED_MM)
      isNear(nearestAt(refined, 6, deg), shortest, REFINED_MM)
    })
})

describe('elliptic bone 4 x 7, centred fixture radius 2', () => {
  const profile = cylinder(2, 6)
  const { fast, refined } = measured(
    ellipticBone(),
    profile,
    surfaceGrid(profile, 13, 72),
    upright([0, 0, -3]),
  )
  for (const [deg, radial, shortest] of [
    [0, 2, 2],
    [30, 2.386259, 2.217666],
    [45, 2.911525, 2.481409],
    [60, 3.685939, 2.835325],
    [90, 5, 3.749747],
  ])
    test(`at ${deg} degrees: radial ${radial}, shortest ${shortest}`, () => {
      isNear(at(fast, 6, deg), radial, OBLIQUE * FAST_MM)
      isNear(at(refined, 6, deg), radial, OBLIQUE * REFINED_MM)
      isNear(nearestAt(refined, 6, deg), shortest, REFINED_MM)
    })
})

describe('flat bone 4 mm from the axis, fixture radius 2', () => {
  const profile = cylinder(2, 6)
  const { fast, refined } = measured(flatBone(), profile, surfaceGrid(profile, 13, 72), upright([0, 0, -3]))
  for (const [deg, radial, shortest] of [
    [15, 2.141105, 2.068148],
    [30, 2.618802, 2.267949],
    [45, 3.656854, 2.585786],
  ])
    test(`a ray tilted by ${deg} degrees: radial ${radial}, shortest ${shortest}`, () => {
      isNear(at(fast, 6, deg), radial, FAST_MM)
      isNear(at(refined, 6, deg), radial, REFINED_MM)
      isNear(nearestAt(refined, 6, deg), shortest, REFINED_MM)
      isNear(nearestAt(refined, 6, deg) - 4 + 2 * Math.cos((deg * Math.PI) / 180), 0, REFINED_MM)
    })
})

describe('a sharp ridge of 20 degrees to either side, upright axis in its middle, fixture radius 1.5', () => {
  const profile = cylinder(1.5, 7)
  const { fast, refined } = measured(
    sharpRidge(),
    profile,
    surfaceGrid(profile, 15, 72),
    upright([0, 0, EDGE_MM - 2], -1),
  )
  for (const [depth, radial, shortest] of [
    [3, -0.408089, -0.383479],
    [5, 0.319851, 0.300562],
    [8, 1.411762, 1.326622],
  ])
    test(`${depth} mm below its edge: radial ${radial}, shortest ${shortest}`, () => {
      const row = 2 * (depth - 2)
      for (const deg of [0, 180]) {
        isNear(at(fast, row, deg), radial, FAST_MM)
        isNear(at(refined, row, deg), radial, REFINED_MM)
        isNear(nearestAt(refined, row, deg), shortest, REFINED_MM)
      }
    })
})

test('taper 2 - 0.05 z beside a flat plate 4 mm from the axis leaves 2.00, 2.25 and 2.50 mm, refined', () => {
  const profile = fixtureProfile({ kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 10 })
  const { refined } = measured(flatBone(), profile, surfaceGrid(profile, 41, 72), upright([0, 0, -5]))
  for (const [row, expected] of [
    [0, 2],
    [20, 2.25],
    [40, 2.5],
  ])
    isNear(at(refined, row, 0), expected, 0.01)
})
