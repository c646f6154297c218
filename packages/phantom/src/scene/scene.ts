import { along, type Plan, scale, type Vec3, type Volume } from '@alveometer/core'
import type { Anatomy } from './anatomy.js'
import { crownFrame, type DemoPlan, demoPlans } from './plans.js'
import { type FixtureTruth, fixtureTruth, type PlateSample, plateSample } from './truth.js'
import {
  type UpperFrontOptions,
  upperFrontAnatomy,
  upperFrontDefaults,
  upperFrontField,
  upperFrontVolume,
} from './upper-front.js'

/** The exact answers for a scene, computed on its analytic surfaces. */
export interface SceneTruth {
  readonly schema: 'alveometer-phantom-truth'
  readonly version: 1
  readonly scan: Plan['scan']
  readonly options: UpperFrontOptions
  readonly fixtures: readonly FixtureTruth[]
  readonly facialPlate: readonly PlateSample[]
}

export interface UpperFront {
  readonly volume: Volume
  readonly plans: readonly DemoPlan[]
  readonly truth: SceneTruth
}

/**
 * The upper front jaw with tooth 11 missing: a volume as a small cone-beam unit would give it, three plans for it and
 * the exact margins of each. Everything follows from the options; no patient, no scanner.
 * Takes about 12 s of one core at the default 250 x 250 x 225 voxels; half that for the voxels alone of a 0.3 mm scene.
 */
export function upperFront(options: Partial<UpperFrontOptions> = {}): UpperFront {
  const all = { ...upperFrontDefaults, ...options }
  const volume = upperFrontVolume(all)
  const plans = demoPlans(upperFrontAnatomy(all), volume.identity)
  return { volume, plans, truth: sceneTruth(all, plans) }
}

/** The exact answers for given plans: no voxels are needed. */
export function sceneTruth(options: UpperFrontOptions, plans: readonly DemoPlan[]): SceneTruth {
  const anatomy = upperFrontAnatomy(options)
  const fixtures = plans.map(({ name, plan }) =>
    fixtureTruth(anatomy, upperFrontField, { name, ...plan.fixture, facial: plan.site.facial }),
  )
  const scan = plans[0]?.plan.scan ?? { seriesUid: '', frameOfReferenceUid: '' }
  return {
    schema: 'alveometer-phantom-truth',
    version: 1,
    scan,
    options,
    fixtures,
    facialPlate: facialPlate(anatomy),
  }
}

/** Twenty places on the facial plate of the site: four depths, five places across. */
function facialPlate(anatomy: Anatomy): PlateSample[] {
  const { origin, facial, apical } = crownFrame(anatomy)
  const across: Vec3 = [
    apical[1] * facial[2] - apical[2] * facial[1],
    apical[2] * facial[0] - apical[0] * facial[2],
    apical[0] * facial[1] - apical[1] * facial[0],
  ]
  const samples: PlateSample[] = []
  for (const depthMm of [5, 7, 9, 11])
    for (const sideMm of [-2, -1, 0, 1, 2]) {
      const start = along(along(along(origin, apical, depthMm), across, sideMm), facial, 9)
      const sample = plateSample(anatomy, start, scale(facial, -1))
      if (sample) samples.push(sample)
    }
  return samples
}
