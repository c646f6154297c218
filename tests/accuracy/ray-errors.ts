import { axisPoint, type BoneMargin, boneModel, radialDirection, radiusAtMm } from '@alveometer/core'
import { type ByMode, byMode, type FoundCalibration, foundCalibration } from './measure.js'
import type { RayScene } from './scenes/scene.js'

/** Measured against true, ray by ray, in columns. Errors are measured minus true: + is too far out. */
export interface RayErrors {
  /** NaN where nothing was measured. */
  readonly errorMm: readonly number[]
  readonly halfWidthMm: readonly number[]
  /** The true plate; NaN where the scene does not say, 0 beside a hole. */
  readonly thicknessMm: readonly number[]
  /** Measured minus true plate; NaN where none was measured. */
  readonly plateErrorMm: readonly number[]
}

/** What one scan gave. */
export interface SceneResult {
  readonly errors: ByMode<RayErrors>
  readonly calibration: FoundCalibration
  /** Fast minus refined, mm, where both have a number. */
  readonly differenceMm: readonly number[]
}

/** True margins beyond this are left out: rays look for the flooded outside up to 10 mm from the axis, and may graze. */
const FARTHEST_MM = 6

/** Calibrates the scan from itself alone and measures it in both modes. */
export function measureScene(scene: RayScene): SceneResult {
  const model = boneModel(scene.volume)
  const { fast, refined } = byMode((measure) => measure(model, scene.frame, scene.profile, scene.grid))
  return {
    errors: { fast: rayErrors(fast, scene), refined: rayErrors(refined, scene) },
    calibration: foundCalibration(model),
    differenceMm: [...fast.radialMm].map((r, n) => r - refined.radialMm[n]).filter(Number.isFinite),
  }
}

function rayErrors(margin: BoneMargin, { frame, profile, grid, truth }: RayScene): RayErrors {
  const errorMm: number[] = []
  const halfWidthMm: number[] = []
  const thicknessMm: number[] = []
  const plateErrorMm: number[] = []
  grid.depthsMm.forEach((depthMm, row) => {
    grid.anglesDeg.forEach((angleDeg, column) => {
      const exit = truth(axisPoint(frame, depthMm), radialDirection(frame, angleDeg))
      const trueMm = exit.distanceMm - radiusAtMm(profile, depthMm)
      if (trueMm > FARTHEST_MM) return
      const at = row * grid.anglesDeg.length + column
      errorMm.push(margin.radialMm[at] - trueMm)
      halfWidthMm.push(margin.halfWidthMm[at])
      thicknessMm.push(exit.thicknessMm)
      plateErrorMm.push(margin.cortexMm[at] - exit.thicknessMm)
    })
  })
  return { errorMm, halfWidthMm, thicknessMm, plateErrorMm }
}
