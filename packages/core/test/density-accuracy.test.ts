import { createRandom, cubicGrid, type Field, plateStack, renderField, tabulate } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  axisPoint,
  coreSamples,
  densityStatistics,
  type FixtureFrame,
  fixtureFrame,
  fixtureProfile,
  normalize,
  perpendicularTo,
  radialDirection,
  shellSamples,
  type Vec3,
} from '../src/index.js'
import { allBone } from './density-scene.js'

const POSES = 12
const LENGTH_MM = 10
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: LENGTH_MM })

interface Pose {
  readonly frame: FixtureFrame
  /** Between -0.5 and 0.5, the same ones in every run. */
  readonly spread: () => number
}

function poses(): Pose[] {
  return Array.from({ length: POSES }, (_, n) => {
    const random = createRandom(`density pose ${n}`)
    const spread = () => random.uniform() - 0.5
    const apical = normalize([spread(), spread(), 1.5])
    const facial = perpendicularTo([1, spread(), 0], apical)
    return { frame: fixtureFrame({ platform: [spread(), spread(), -5 + spread()], apical }, facial), spread }
  })
}

/** A plate of 1 mm between marrow and soft tissue that crosses the fixture or passes it by. */
function plate({ spread }: Pose): Field {
  const normal = normalize([1, spread(), spread()])
  const outer = 2.5 + 2 * spread()
  const faces = [outer - 1, outer]
  const along = plateStack({
    origin: [0, 0, 0],
    normal: [1, 0, 0],
    faces,
    greys: [400, 1500, 50],
    sigmaMm: 0.25,
  })
  const grey = tabulate((x) => along(x, 0, 0), -1, 6, 0.01)
  return (x, y, z) => grey(normal[0] * x + normal[1] * y + normal[2] * z)
}

/** Marrow of 400 with waves of 1.5 to 4 mm in all directions. */
function texture({ spread }: Pose): Field {
  const waves = Array.from({ length: 8 }, (_, n) => {
    const length = 1.5 + (2.5 * n) / 7
    const [x, y, z] = normalize([spread(), spread(), spread()])
    const k = (2 * Math.PI) / length
    return [k * x, k * y, k * z, 2 * Math.PI * spread()] as const
  })
  return (x, y, z) =>
    waves.reduce((grey, [kx, ky, kz, phase]) => grey + 60 * Math.sin(kx * x + ky * y + kz * z + phase), 400)
}

/** The mean between two radii by dense quadrature of the field itself, no voxels between. */
function quadrature(field: Field, frame: FixtureFrame, innerMm: number, outerMm: number): number {
  const [rings, angles, depths] = [24, 96, 160]
  const directions = Array.from({ length: angles }, (_, n) =>
    radialDirection(frame, (360 * (n + 0.5)) / angles),
  )
  const radii = Array.from({ length: rings }, (_, n) =>
    Math.sqrt(innerMm ** 2 + ((outerMm ** 2 - innerMm ** 2) * (n + 0.5)) / rings),
  )
  let sum = 0
  for (let d = 0; d < depths; d++) {
    const [x, y, z] = axisPoint(frame, (LENGTH_MM * (d + 0.5)) / depths)
    for (const [dx, dy, dz] of directions)
      for (const r of radii) sum += field(x + r * dx, y + r * dy, z + r * dz)
  }
  return sum / (rings * angles * depths)
}

/** Voxels round the fixture, shifted by less than one. */
function scanned(field: Field, spacingMm: number, { spread }: Pose) {
  const across = Math.ceil(13 / spacingMm)
  const shape: Vec3 = [across, across, Math.ceil(15 / spacingMm)]
  const shift = () => spacingMm * spread()
  return renderField(field, cubicGrid(shape, spacingMm, [shift(), shift(), shift()]), { type: 'float32' })
}

describe.each([
  ['a plate of 1 mm', plate],
  ['waves of 1.5 to 4 mm', texture],
] as const)('%s in 12 random poses', (_, fieldOf) => {
  const scenes = poses().map((pose) => {
    const field = fieldOf(pose)
    const core = quadrature(field, pose.frame, 0, 2)
    return { pose, field, core, shell: quadrature(field, pose.frame, 2, 2.5) }
  })
  for (const spacingMm of [0.1, 0.2, 0.3, 0.4])
    test(`core and shell mean within 0.5 % of the field's own, voxels ${spacingMm} mm`, () => {
      for (const { pose, field, core, shell } of scenes) {
        const model = allBone(scanned(field, spacingMm, pose))
        const found = densityStatistics(coreSamples(model, pose.frame, profile))?.mean ?? Number.NaN
        const round = densityStatistics(shellSamples(model, pose.frame, profile))?.mean ?? Number.NaN
        expect(Math.abs(found / core - 1)).toBeLessThan(0.005)
        expect(Math.abs(round / shell - 1)).toBeLessThan(0.005)
      }
    })
})

test('in a linear field the means are those on the middle of the axis', () => {
  for (const pose of poses()) {
    const field: Field = (x, y, z) => 500 + 30 * x - 20 * y + 10 * z
    const model = allBone(scanned(field, 0.4, pose))
    const [x, y, z] = axisPoint(pose.frame, LENGTH_MM / 2)
    for (const samples of [coreSamples, shellSamples])
      expect(densityStatistics(samples(model, pose.frame, profile))?.mean).toBeCloseTo(field(x, y, z), 3)
  }
})
