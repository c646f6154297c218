import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  type BoneMargin,
  type BoneModel,
  boneModel,
  type FixtureFrame,
  type FixtureProfile,
  fixtureFrame,
  fixtureProfile,
  flagsOf,
  radiusAtMm,
  readPlan,
} from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { type ByMode, byMode, type FoundCalibration, foundCalibration } from '../measure.js'
import {
  incidenceDeg,
  nearTooth,
  type SimulatedFixture,
  simulatedFolder,
  simulatedTruth,
} from '../truth/simulated.js'
import type { Study } from './study.js'

/** One ray of a simulated scan whose true margin is known and below 7 mm. */
export interface SimulatedRay {
  readonly depthMm: number
  readonly angleDeg: number
  readonly trueMm: number
  readonly nearTooth: boolean
  /** Between the ray and the true normal where it leaves bone; NaN where the neighbours do not tell. */
  readonly incidenceDeg: number
  /** Measured minus true; NaN where nothing was measured. */
  readonly errorMm: number
  readonly halfWidthMm: number
  readonly flags: readonly string[]
  /** How far from the axis a ray without a number was followed through bone. */
  readonly followedMm: number
}

export interface SimulatedPlan {
  readonly plan: string
  readonly rays: ByMode<readonly SimulatedRay[]>
  /** Measured minus true least margin, mm, and the half width shown to people. */
  readonly least: ByMode<{ readonly errorMm: number; readonly shownMm: number }>
  /** Rays that meet a tooth, a canal or the end of the field first, and how many of them got a refined number all the same. */
  readonly unanswerable: readonly {
    readonly state: string
    readonly rays: number
    readonly numbers: number
  }[]
}

export interface SimulatedResult {
  readonly calibration: FoundCalibration
  readonly plans: readonly SimulatedPlan[]
}

/** Rays look 10 mm far from the axis. */
const FARTHEST_MM = 7

/** Physically simulated cone-beam scans with exact answers; null where the data is not on this machine. */
export const simulatedStudy: Study<{ readonly name: string }, SimulatedResult | null> = {
  name: 'simulated',
  seeds: 1,
  cases: [{ name: 'upper-front' }, { name: 'lower-molar' }],
  async measure({ name }) {
    const folder = simulatedFolder(name)
    if (folder === null) return null
    const { volume } = await loadScan(await inputsFromPath(join(folder, `${name}.zip`)))
    const model = boneModel(volume)
    const { fixtures, stateCodes } = simulatedTruth(folder)
    return {
      calibration: foundCalibration(model),
      plans: fixtures.map((fixture) => measurePlan(model, folder, fixture, stateCodes)),
    }
  },
}

function measurePlan(
  model: BoneModel,
  folder: string,
  truth: SimulatedFixture,
  stateCodes: readonly string[],
): SimulatedPlan {
  const plan = readPlan(readFileSync(join(folder, truth.plan), 'utf8'))
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const profile = fixtureProfile(plan.fixture.shape)
  const margins = byMode((measure) => measure(model, frame, profile, truth))
  const places = knownPlaces(truth, frame, profile, stateCodes.indexOf('tooth'))
  const leastOf = ({ minimum, uncertaintyMm }: BoneMargin) => ({
    errorMm: (minimum?.radialMm ?? Number.NaN) - truth.minimum.marginMm,
    shownMm: uncertaintyMm,
  })
  return {
    plan: truth.name,
    rays: { fast: raysOf(margins.fast, places), refined: raysOf(margins.refined, places) },
    least: { fast: leastOf(margins.fast), refined: leastOf(margins.refined) },
    unanswerable: ['tooth', 'canal', 'field'].map((state) => {
      const code = stateCodes.indexOf(state)
      const at = truth.state.flat().flatMap((s, n) => (s === code ? [n] : []))
      const numbers = at.filter((n) => Number.isFinite(margins.refined.radialMm[n])).length
      return { state, rays: at.length, numbers }
    }),
  }
}

/** A ray whose margin is known. */
interface Place extends Pick<SimulatedRay, 'depthMm' | 'angleDeg' | 'trueMm' | 'nearTooth' | 'incidenceDeg'> {
  readonly at: number
}

const knownPlaces = (
  truth: SimulatedFixture,
  frame: FixtureFrame,
  profile: FixtureProfile,
  toothCode: number,
): Place[] =>
  truth.depthsMm.flatMap((depthMm, r) =>
    truth.anglesDeg.flatMap((angleDeg, c) => {
      const trueMm = truth.radialMarginMm[r][c]
      if (trueMm === null || trueMm > FARTHEST_MM) return []
      return {
        ...{ depthMm, angleDeg, trueMm },
        nearTooth: nearTooth(truth, toothCode, [r, c], trueMm + radiusAtMm(profile, depthMm)),
        incidenceDeg: incidenceDeg(truth, frame, profile, [r, c]),
        at: r * truth.anglesDeg.length + c,
      }
    }),
  )

const raysOf = (margin: BoneMargin, places: readonly Place[]): SimulatedRay[] =>
  places.map(({ at, ...place }) => ({
    ...place,
    errorMm: margin.radialMm[at] - place.trueMm,
    halfWidthMm: margin.halfWidthMm[at],
    flags: flagsOf(margin.flags[at]),
    followedMm: margin.hits.followedMm[at],
  }))
