import { cubicGrid, cylinderShell, type Grid, renderField, whiteNoise } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  along,
  boneModel,
  createVolume,
  cross,
  type FixtureFrame,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  fromFrame,
  normalize,
  perpendicularTo,
  refinedMargin,
  scale,
  surfaceGrid,
  toWorld,
  type Vec3,
  type Volume,
} from '../../src/index.js'

const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
const grid = surfaceGrid(profile, 8, 48)
/** What of the fast march is coarser than the fit: its cells and the linear crossing. */
const MODES = [
  { name: 'fast', measure: fastMargin, allWithinMm: 0.02 },
  { name: 'refined', measure: refinedMargin, allWithinMm: 0.01 },
]

/** Axes of a scene. */
interface Pose {
  readonly x: Vec3
  readonly y: Vec3
  readonly z: Vec3
  readonly origin: Vec3
}

const STRAIGHT: Pose = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1], origin: [0.03, 0.05, 0.02] }

function tilted(z: Vec3, x: Vec3, origin: Vec3): Pose {
  const axis = normalize(z)
  const side = perpendicularTo(x, axis)
  return { x: side, y: cross(axis, side), z: axis, origin }
}

/** An eccentric shell, plates 0.5 to 2.4 mm. */
function shell({ origin, z, x }: Pose, where: Grid, noiseSd = 0): Volume {
  const field = cylinderShell({
    ...{ origin, axis: z, towards: x, sigmaMm: 0.25 },
    ...{ outerRadiusMm: 5, innerRadiusMm: 3.55, eccentricityMm: 0.95 },
    ...{ greyOutside: 50, greyShell: 1500, greyInside: 400 },
  })
  const noise = whiteNoise(where.shape, noiseSd, 'invariance')
  return renderField(field, where, { noise })
}

/** The same fixture in the scene's own axes: leaning, off the axis. */
function fixtureIn({ x, y, z, origin }: Pose): FixtureFrame {
  const platform = along(along(along(origin, x, 0.6), y, 0.5), z, -3)
  const apical = along(along(z, x, 0.12), y, -0.1)
  return fixtureFrame({ platform, apical }, x)
}

/** Two maps of the same rays must have numbers for the same ones, and hardly different ones. */
function areAlike(a: Float64Array, b: Float64Array, mostWithinMm: number, allWithinMm: number): void {
  expect([...a].map(Number.isNaN)).toEqual([...b].map(Number.isNaN))
  const differences = [...a].map((v, n) => Math.abs(v - b[n])).filter(Number.isFinite)
  differences.sort((x, y) => x - y)
  expect(differences.length).toBeGreaterThan(300)
  expect(differences[Math.floor(0.95 * differences.length)]).toBeLessThan(mostWithinMm)
  expect(differences[differences.length - 1]).toBeLessThan(allWithinMm)
}

const cube = (spacingMm: number) => {
  const n = Math.round(18 / spacingMm)
  return cubicGrid([n, n, n], spacingMm, [0, 0, 0])
}

const TURNS = (
  [
    ['a quarter turn', tilted([1, 0, 0], [0, 1, 0], [0.1, -0.04, 0.07])],
    ['a turn about all axes', tilted([0.4, -0.5, 0.8], [1, 0.3, 0], [-0.09, 0.08, 0.01])],
    ['upside down', tilted([0.1, 0.05, -1], [0.7, 0.7, 0], [0.02, 0.09, -0.1])],
  ] as const
).map(([name, pose]) => ({ name, pose, volume: shell(pose, cube(0.2)) }))

const clean = shell(STRAIGHT, cube(0.2))
const noisy = shell(STRAIGHT, cube(0.2), 60)
const withGreys = (f: (grey: number) => number) => createVolume({ ...noisy, data: noisy.data.map(f) })
const doubled = withGreys((v) => 2 * v)
const shifted = [-1024, 700].map((constant) => withGreys((v) => v + constant))
const otherVoxels = [0.15, 0.25].map((spacingMm) => shell(STRAIGHT, cube(spacingMm)))
const flat = anisotropic()
const ORDERS = (
  [
    ['slices, rows, columns', [2, 1, 0], []],
    ['rows, slices, columns', [1, 2, 0], []],
    ['columns backwards', [0, 1, 2], [0]],
    ['slices, columns, rows, two of them backwards', [2, 0, 1], [0, 2]],
  ] as const
).map(([name, order, flips]) => ({ name, volume: reordered(flat, order, flips) }))

describe.each(MODES)('the $name margin', ({ measure, allWithinMm }) => {
  const of = (volume: Volume, pose: Pose = STRAIGHT) =>
    measure(boneModel(volume), fixtureIn(pose), profile, grid).radialMm

  test.each(TURNS)('scene and fixture turned together: $name', ({ pose, volume }) => {
    areAlike(of(volume, pose), of(clean), 0.01, allWithinMm)
  })

  test('all grey contrasts and the noise doubled: nothing changes', () => {
    areAlike(of(doubled), of(noisy), 0.001, 0.001)
  })

  test('a constant added to every voxel: nothing changes', () => {
    for (const volume of shifted) areAlike(of(volume), of(noisy), 0.001, 0.001)
  })

  test('voxels of 0.15 and 0.25 mm instead of 0.2', () => {
    for (const volume of otherVoxels) areAlike(of(volume), of(clean), 0.015, 0.02)
  })

  test.each(ORDERS)('voxels of 0.2 x 0.25 x 0.3 mm stored as $name', ({ volume }) => {
    areAlike(of(volume), of(flat), 0.01, allWithinMm)
  })
})

function anisotropic(): Volume {
  const shape: Vec3 = [90, 72, 60]
  const spacing = [0.2, 0.25, 0.3] as const
  const origin = shape.map((n, a) => (-(n - 1) / 2) * spacing[a]) as unknown as Vec3
  const [i, j, k] = spacing
  return shell(STRAIGHT, { shape, indexToWorld: fromFrame([i, 0, 0], [0, j, 0], [0, 0, k], origin) }, 60)
}

/**
 * The same scan with its index axes in another order, and some of them (of the new ones) from the other end.
 * Its voxels lie where they lay.
 */
function reordered(
  volume: Volume,
  order: readonly [number, number, number],
  flips: readonly number[],
): Volume {
  const shape = order.map((a) => volume.shape[a]) as unknown as Vec3
  const steps = order.map((a) => volume.indexToWorld.slice(4 * a, 4 * a + 3) as unknown as Vec3)
  const old: [number, number, number] = [0, 0, 0]
  const placeOf = (at: Vec3): Vec3 => {
    order.forEach((a, n) => {
      old[a] = flips.includes(n) ? shape[n] - 1 - at[n] : at[n]
    })
    return old
  }
  const data = new Int16Array(volume.data.length)
  let n = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++) {
        const [a, b, c] = placeOf([i, j, k])
        data[n++] = volume.data[a + volume.shape[0] * (b + volume.shape[1] * c)]
      }
  const origin = toWorld(volume.indexToWorld, [...placeOf([0, 0, 0])])
  const [x, y, z] = steps.map((step, axis) => scale(step, flips.includes(axis) ? -1 : 1))
  return createVolume({ data, shape, indexToWorld: fromFrame(x, y, z, origin) })
}
