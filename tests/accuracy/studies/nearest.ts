import { boneModel, type SurfaceGrid, surfacePoint } from '@alveometer/core'
import { type ByMode, byMode } from '../measure.js'
import { type ExtrudedOptions, extrudedScene, type NearestScene } from '../scenes/extruded.js'
import type { Study } from './study.js'

interface NearestCase extends ExtrudedOptions {
  readonly name: string
}

/** Measured minus true shortest distances, mm. */
export interface NearestResult {
  /** One for each place of the fixture's surface, refined: the fast mode does not map them. */
  readonly mapErrorMm: readonly number[]
  /** Of the least over the fixture's surface. */
  readonly leastErrorMm: ByMode<number>
}

/** Shortest distance from the fixture's surface to the outside of bone. */
export const nearestStudy: Study<NearestCase, NearestResult> = {
  name: 'nearest',
  seeds: 8,
  cases: (
    [
      ['ellipse', 0.2, 0.25, 0],
      ['ellipse', 0.2, 0.25, 100],
      ['ellipse', 0.4, 0.35, 100],
      ['wedge', 0.2, 0.25, 100],
      ['wedge', 0.4, 0.35, 100],
    ] as const
  ).map(([shape, spacingMm, sigmaMm, noiseSd]) => ({
    name: `${shape} h ${spacingMm} s ${sigmaMm} n ${noiseSd}`,
    ...{ shape, spacingMm, sigmaMm, noiseSd },
  })),
  measure(it, seed) {
    const scene = extrudedScene(it, `${it.name}/${seed}`)
    const model = boneModel(scene.volume)
    const truth = truthMap(scene)
    const leastTruth = Math.min(...truth)
    const { fast, refined } = byMode((measure) => measure(model, scene.frame, scene.profile, scene.grid))
    const map = refined.nearestMapMm
    return {
      mapErrorMm: truth.map((t, n) => (map?.[n] ?? Number.NaN) - t),
      leastErrorMm: {
        fast: (fast.nearestMm ?? Number.NaN) - leastTruth,
        refined: (refined.nearestMm ?? Number.NaN) - leastTruth,
      },
    }
  },
}

const truthMap = ({ frame, profile, grid, nearest }: NearestScene): number[] =>
  cellsOf(grid).map(([depthMm, angleDeg]) => nearest(surfacePoint(frame, profile, depthMm, angleDeg)))

const cellsOf = ({ depthsMm, anglesDeg }: SurfaceGrid): (readonly [number, number])[] =>
  depthsMm.flatMap((depthMm) => anglesDeg.map((angleDeg) => [depthMm, angleDeg] as const))
