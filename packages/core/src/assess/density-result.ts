import {
  type BoneMargin,
  type BoneModel,
  coreSamples,
  type DensityStatistics,
  densityStatistics,
  shellSamples,
} from '../bone/index.js'
import type { FixtureFrame, FixtureProfile } from '../fixture/index.js'
import type { PlannedCalibration } from '../plan/index.js'
import type { GreyUnit } from '../volume/index.js'
import { inSector, LEVELS, levelOf, type Sector } from './sectors.js'

export interface DensityResult {
  readonly unit: GreyUnit
  /** Inside the fixture body; null when it lies outside the scan. */
  readonly core: DensityStatistics | null
  /** Within 0.5 mm outside the fixture surface. */
  readonly shell: DensityStatistics | null
  /** Share of the core and of the shell that holds no data or lies outside the scan, 0 to 1; left out of all numbers. */
  readonly noDataShare: { readonly core: number; readonly shell: number }
  /** Shell by thirds of the length: coronal, middle, apical. */
  readonly byLevel: Readonly<Record<string, DensityStatistics | null>>
  /** Shell by sector, the same keys as the margin's. */
  readonly bySector: Readonly<Record<string, DensityStatistics | null>>
}

export function densityResult(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  _calibration: PlannedCalibration | undefined,
  _margin: BoneMargin,
): DensityResult {
  const core = coreSamples(model, frame, profile)
  const shell = shellSamples(model, frame, profile)
  return {
    unit: model.volume.grey.unit,
    core: densityStatistics(core),
    shell: densityStatistics(shell),
    noDataShare: { core: core.noDataShare, shell: shell.noDataShare },
    byLevel: Object.fromEntries(
      LEVELS.map((level) => [
        level,
        densityStatistics(shell, (n) => levelOf(shell.depthShares[n]) === level),
      ]),
    ),
    bySector: Object.fromEntries(
      sectors.map((sector) => [
        sector.name,
        densityStatistics(shell, (n) => inSector(sector, shell.anglesDeg[n])),
      ]),
    ),
  }
}
