import { describe, expect, test } from 'vitest'
import {
  boneModel,
  column,
  createVolume,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  fromFrame,
  reslice,
  sampleAt,
  scale,
  surfaceGrid,
  toWorld,
  type Vec3,
  type Volume,
} from '../src/index.js'
import { shellScene } from './shell-scene.js'

/** The same scan with some index axes stored the other way round: a left-handed index space where their count is odd. */
function storedBackwards(volume: Volume, axes: readonly number[]): Volume {
  const [nx, ny, nz] = volume.shape
  const data = volume.data.slice()
  const turned = (n: number, axis: number) => (axes.includes(axis) ? volume.shape[axis] - 1 - n : n)
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++)
        data[n++] = volume.data[turned(i, 0) + nx * (turned(j, 1) + ny * turned(k, 2))] as number
  const [x, y, z] = ([0, 1, 2] as const).map((axis) =>
    scale(column(volume.indexToWorld, axis), axes.includes(axis) ? -1 : 1),
  )
  const origin = toWorld(volume.indexToWorld, [turned(0, 0), turned(0, 1), turned(0, 2)])
  return createVolume({ data, shape: volume.shape, indexToWorld: fromFrame(x, y, z, origin) })
}

const scene = shellScene({ spacingMm: 0.4, sigmaMm: 0.35, noiseSd: 60, textureSd: 60, seed: 'a' })
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
const frame = fixtureFrame({ platform: [0.6, 0.6, -3], apical: scene.axis }, [1, 0, 0])
const marginOn = (volume: Volume) => fastMargin(boneModel(volume), frame, profile, surfaceGrid(profile))

describe('the same scan in another order of voxels', () => {
  const straight = marginOn(scene.volume)
  for (const [name, axes] of [
    ['slices from the other end, left-handed', [2]],
    ['columns from the other end, left-handed', [0]],
    ['all three, left-handed', [0, 1, 2]],
    ['two of them, right-handed', [0, 1]],
  ] as const) {
    const mirrored = storedBackwards(scene.volume, axes)

    test(`${name}: grey values and pictures are the same`, () => {
      const points: Vec3[] = [
        [0.13, -2.4, 1.7],
        [4.9, 0.2, -3.3],
        [-5, 5, 5],
      ]
      for (const point of points)
        expect(sampleAt(mirrored, point)).toBeCloseTo(sampleAt(scene.volume, point) ?? Number.NaN, 6)
      const plane = {
        origin: [-6, 0, -5],
        du: [0.2, 0.05, 0],
        dv: [0, 0.02, 0.2],
        width: 60,
        height: 50,
      } as const
      const [a, b] = [reslice(mirrored, plane), reslice(scene.volume, plane)]
      a.forEach((v, n) => {
        expect(Math.abs(v - b[n])).toBeLessThan(1e-2)
      })
    })

    test(`${name}: the margin is the same`, () => {
      const margin = marginOn(mirrored)
      expect(margin.states).toEqual(straight.states)
      // Another order of the same places on the surface moves the calibration by less than this.
      margin.radialMm.forEach((r, n) => {
        expect(Math.abs(r - straight.radialMm[n])).toBeLessThan(0.005)
      })
      expect(Math.abs((margin.nearestMm ?? 0) - (straight.nearestMm ?? 0))).toBeLessThan(0.005)
      expect(margin.minimum?.angleDeg).toBe(straight.minimum?.angleDeg)
    })
  }
})
