import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  boneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  type SurfaceHits,
  surfaceGrid,
  surfacePoint,
} from '@alveometer/core'
import { createRandom } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import { nearestDistance } from '../../packages/core/src/bone/nearest.js'
import { shellScene } from '../../packages/core/test/shell-scene.js'
import { describeWithPython, runWithArrays } from '../outside-python.js'

/** Corners of the net's triangles: two between neighbouring rays, wrapping in angle. */
function corners({ rows, columns, points }: SurfaceHits): number[] {
  const found: number[] = []
  const add = (...rays: readonly number[]) => {
    for (const n of rays) found.push(points[3 * n], points[3 * n + 1], points[3 * n + 2])
  }
  for (let row = 0; row < rows - 1; row++)
    for (let column = 0; column < columns; column++) {
      const [a, b] = [row * columns + column, row * columns + ((column + 1) % columns)]
      add(a, b, a + columns)
      add(b, b + columns, a + columns)
    }
  return found
}

describeWithPython('nearestDistance against every triangle in turn', ['numpy'], (run) => {
  test("a noisy net of 2952 hits: 984 places of the fixture's surface, 300 strewn inside and outside bone", () => {
    const { volume } = shellScene({
      spacingMm: 0.3,
      sigmaMm: 0.3,
      noiseSd: 100,
      textureSd: 100,
      seed: 'near',
    })
    const frame = fixtureFrame({ platform: [0.6, 0.6, -3], apical: [0.1, -0.15, 1] }, [1, 0, 0])
    const profile = fixtureProfile({ kind: 'tapered', diameterMm: 4.4, apexDiameterMm: 3, lengthMm: 6 })
    const grid = surfaceGrid(profile)
    const { hits } = fastMargin(boneModel(volume), frame, profile, grid)
    expect(hits.states.every((state) => state === 'bone')).toBe(true)
    const random = createRandom('near/points')
    const spread = (reachMm: number) => reachMm * (2 * random.uniform() - 1)
    const points = [
      ...grid.depthsMm.flatMap((depth, row) =>
        grid.anglesDeg
          .filter((_, column) => (row + column) % 3 === 0)
          .map((angle) => surfacePoint(frame, profile, depth, angle)),
      ),
      ...Array.from({ length: 300 }, () => [spread(8), spread(8), spread(6)] as const),
    ]
    const near = nearestDistance(hits)
    const { distances } = runWithArrays(
      run,
      readFileSync(join(import.meta.dirname, 'nearest.py'), 'utf8'),
      { points: Float64Array.from(points.flat()), corners: Float64Array.from(corners(hits)) },
      ['distances'],
    )
    expect(distances).toHaveLength(984 + 300)
    for (const [n, [x, y, z]] of points.entries())
      expect(Math.abs(near(x, y, z, 100) - distances[n])).toBeLessThan(1e-9)
  })
})
