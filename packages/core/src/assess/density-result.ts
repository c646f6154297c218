import {
  type BoneMargin,
  type BoneModel,
  type BoneSplit,
  boneSplit,
  CANCELLOUS,
  CORTICAL,
  cellOfEach,
  coreSamples,
  type DensitySamples,
  type DensityStatistics,
  partedStatistics,
  shellSamples,
} from '../bone/index.js'
import type { FixtureFrame, FixtureProfile } from '../fixture/index.js'
import {
  type GreyCalibration,
  greyCalibration,
  type HuInterval,
  type PlannedCalibration,
} from '../plan/index.js'
import type { GreyUnit } from '../volume/index.js'
import { type DensityBand, densityBands } from './density-bands.js'
import { type AppliedCalibration, appliedCalibration } from './density-calibration.js'
import { inSector, LEVELS, levelOf, type Sector } from './sectors.js'

type Level = (typeof LEVELS)[number]

/** Density of a place. Grey values in the scan's own unit; Hounsfield units beside them only where a plan calibrates. */
export interface CellDensity extends DensityStatistics {
  /** The mean by the plan's calibration; null without one. */
  readonly hu: HuInterval | null
  /** The mean over bone alone by the plan's calibration. */
  readonly boneHu: HuInterval | null
}

/** Null where the place holds no data. */
export type LevelDensities = Readonly<Record<Level, CellDensity | null>>

export interface SectorDensity extends CellDensity {
  readonly levels: LevelDensities
}

/** A slice of the core or the shell across the fixture's axis; null where it holds no data, or no bone. */
export interface DepthDensity {
  /** Depth of its middle below the platform, mm. */
  readonly depthMm: number
  readonly mean: number | null
  readonly median: number | null
  readonly p5: number | null
  readonly p95: number | null
  readonly boneMean: number | null
}

/** Density of the core or the shell, whole and in parts. */
export interface PartDensity extends CellDensity {
  readonly levels: LevelDensities
  /** Keys as those of the margin. */
  readonly sectors: Readonly<Record<string, SectorDensity | null>>
  /** Of what lies in bone. */
  readonly cortical: CellDensity | null
  readonly cancellous: CellDensity | null
  /**
   * What told cortical from cancellous for most of the bone: the plate fitted behind each ray, or the grey value, above
   * the middle between the scan's soft and cortical levels.
   */
  readonly split: 'plate' | 'grey'
  /** Share of the samples in bone that the plate told apart, 0 to 1. */
  readonly plateShare: number
  readonly profile: readonly DepthDensity[]
}

export interface DensityResult {
  /** Unit of all grey values here. "HU as written by the device" is as uncalibrated as a bare grey value. */
  readonly unit: GreyUnit
  /** Null without a calibration in the plan. */
  readonly calibrated: AppliedCalibration | null
  /** Inside the fixture body; null when it lies outside the scan. */
  readonly core: PartDensity | null
  /** Within 0.5 mm outside the fixture surface. */
  readonly shell: PartDensity | null
  /** Share of the core and of the shell that holds no data or lies outside the scan, 0 to 1; left out of all numbers. */
  readonly noDataShare: { readonly core: number; readonly shell: number }
  /** Published classes of the means of core and shell; null without a calibration: grey values have no such classes. */
  readonly bands: { readonly core: readonly DensityBand[]; readonly shell: readonly DensityBand[] } | null
}

/** What the bone is like where the fixture comes to lie, and just round it. */
export function densityResult(
  model: BoneModel,
  frame: FixtureFrame,
  profile: FixtureProfile,
  sectors: readonly Sector[],
  calibration: PlannedCalibration | undefined,
  margin: BoneMargin,
): DensityResult {
  const line = calibration === undefined ? null : greyCalibration(calibration.points)
  const part = (samples: DensitySamples): PartDensity | null =>
    partDensity(samples, boneSplit(samples, model, profile, margin), profile, sectors, line)
  const coreSampled = coreSamples(model, frame, profile)
  const shellSampled = shellSamples(model, frame, profile)
  const core = part(coreSampled)
  const shell = part(shellSampled)
  return {
    unit: model.volume.grey.unit,
    calibrated: line === null ? null : appliedCalibration(line),
    core,
    shell,
    noDataShare: { core: coreSampled.noDataShare, shell: shellSampled.noDataShare },
    bands: line === null ? null : { core: bandsOf(core), shell: bandsOf(shell) },
  }
}

const bandsOf = (part: PartDensity | null): DensityBand[] => (part?.hu ? densityBands(part.hu) : [])

/** Bins of the profile along the depth: two levels of samples each. */
const DEPTH_BINS = 20

function partDensity(
  samples: DensitySamples,
  { kinds, plateShare }: BoneSplit,
  { lengthMm }: FixtureProfile,
  sectors: readonly Sector[],
  line: GreyCalibration | null,
): PartDensity | null {
  const depths = LEVELS.length
  const levels = cellOfEach(samples, (n) => LEVELS.indexOf(levelOf(samples.depthShares[n])))
  // Sectors begin and end at whole degrees.
  const sectorAt = Array.from({ length: 360 }, (_, deg) => sectors.findIndex((s) => inSector(s, deg)))
  const around = cellOfEach(samples, (n) => sectorAt[Math.floor(samples.anglesDeg[n])])
  const [whole, byLevel, bySector, byCell, byKind, byDepth] = partedStatistics(samples, [
    { cells: 1, cellOf: new Int8Array(samples.places) },
    { cells: depths, cellOf: levels },
    { cells: sectors.length, cellOf: around },
    { cells: sectors.length * depths, cellOf: cellOfEach(samples, (n) => around[n] * depths + levels[n]) },
    { cells: 2, cellOf: kinds },
    {
      cells: DEPTH_BINS,
      cellOf: cellOfEach(samples, (n) => Math.floor(samples.depthShares[n] * DEPTH_BINS)),
    },
  ])
  const cell = (statistics: DensityStatistics | null) => cellDensity(statistics, line)
  const all = cell(whole[0])
  if (all === null) return null
  return {
    ...all,
    levels: levelsOf(byLevel, cell),
    sectors: Object.fromEntries(
      sectors.map(({ name }, n) => {
        const sector = cell(bySector[n])
        const inIt = byCell.slice(n * depths)
        return [name, sector === null ? null : { ...sector, levels: levelsOf(inIt, cell) }]
      }),
    ),
    cortical: cell(byKind[CORTICAL]),
    cancellous: cell(byKind[CANCELLOUS]),
    split: plateShare > 0.5 ? 'plate' : 'grey',
    plateShare,
    profile: byDepth.map((bin, n) => depthDensity(((n + 0.5) / DEPTH_BINS) * lengthMm, bin)),
  }
}

const levelsOf = (
  statistics: readonly (DensityStatistics | null)[],
  cell: (statistics: DensityStatistics | null) => CellDensity | null,
): LevelDensities => ({
  coronal: cell(statistics[0]),
  middle: cell(statistics[1]),
  apical: cell(statistics[2]),
})

function cellDensity(statistics: DensityStatistics | null, line: GreyCalibration | null): CellDensity | null {
  if (statistics === null) return null
  const { mean, boneMean } = statistics
  return {
    ...statistics,
    hu: line === null ? null : line.hu(mean),
    boneHu: line === null || boneMean === null ? null : line.hu(boneMean),
  }
}

const depthDensity = (depthMm: number, bin: DensityStatistics | null): DepthDensity => ({
  depthMm,
  mean: bin?.mean ?? null,
  median: bin?.median ?? null,
  p5: bin?.p5 ?? null,
  p95: bin?.p95 ?? null,
  boneMean: bin?.boneMean ?? null,
})
