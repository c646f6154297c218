import type { Volume } from '../volume/index.js'
import { calibrateScan, type ScanCalibration, type ThickSite } from './calibrate.js'
import { coarseField } from './coarse.js'
import type { ExteriorMask } from './exterior.js'
import { exteriorFor, tissueLevels } from './levels.js'
import type { BoneMask } from './masks.js'
import { type SmoothedSampler, smoothedSampler } from './smoothed.js'
import { type SoftLevelAt, softLevelMap } from './soft-map.js'

/** Everything the margin needs to know of a scan, worked out once after loading. */
export interface BoneModel {
  readonly volume: Volume
  /** What is not bone, whatever its grey. */
  readonly masks: readonly BoneMask[]
  readonly calibration: ScanCalibration
  readonly exterior: ExteriorMask
  /** Where thick cortex was found: for what holds near a place, see localCalibration. */
  readonly thickSites: readonly ThickSite[]
  /** Local soft level, by which the low threshold is set ray by ray. */
  readonly softAt: SoftLevelAt
  /** Sigma of the extra blur used by the fast march, mm. */
  readonly smoothingMm: number
  readonly smoothed: SmoothedSampler
}

export interface Progress {
  readonly stage: 'blur' | 'levels' | 'calibration' | 'outside'
  readonly done: number
  readonly total: number
}

export interface PrepareOptions {
  /** What is known not to be bone: neighbouring teeth, fixtures already there; closed meshes or cylinders, LPS mm. */
  readonly masks?: readonly BoneMask[]
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: Progress) => void
  /** Called between stages; give the event loop a turn here so that an abort can arrive. */
  readonly pause?: () => Promise<void>
}

/** The part of a web AbortSignal this library reads. */
export interface AbortSignal {
  readonly aborted: boolean
  readonly reason?: unknown
}

const COARSE_MM = 0.3

function* stages(volume: Volume, masks: readonly BoneMask[]): Generator<Progress, BoneModel> {
  yield { stage: 'blur', done: 0, total: 4 }
  const field = coarseField(volume, COARSE_MM, COARSE_MM)
  yield { stage: 'levels', done: 1, total: 4 }
  const levels = tissueLevels(field, masks)
  yield { stage: 'calibration', done: 2, total: 4 }
  const { calibration, softSites, thickSites } = calibrateScan(volume, field, levels)
  yield { stage: 'outside', done: 3, total: 4 }
  const { softGrey, cortexGrey } = calibration
  const exterior = exteriorFor(field, softGrey, cortexGrey, masks)
  const softAt = softLevelMap(
    softSites,
    volume.shape,
    volume.spacingMm,
    softGrey,
    0.2 * (cortexGrey - softGrey),
  )
  const smoothingMm = Math.max(
    0.3,
    0.9 * Math.cbrt(volume.spacingMm[0] * volume.spacingMm[1] * volume.spacingMm[2]),
  )
  return {
    volume,
    masks,
    calibration,
    exterior,
    thickSites,
    softAt,
    smoothingMm,
    smoothed: smoothedSampler(volume, smoothingMm),
  }
}

/** @throws the signal's reason, or an Error, when it is aborted. */
export function stopIfAborted(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw signal.reason ?? new Error('aborted')
}

/**
 * Calibrates a scan and floods its outside, in steps; docs/benchmarks.md has the times. Done once: the model is kept as
 * long as the volume lives (of several lists of masks the last), and what was learned of the last scans serves again for
 * the same voxels at the same place.
 * @throws the signal's reason when aborted between stages; RangeError for an open mesh among the masks.
 */
export async function prepareBone(volume: Volume, options: PrepareOptions = {}): Promise<BoneModel> {
  stopIfAborted(options.signal)
  const { masks = NO_MASKS } = options
  const kept = keptModel(volume, masks) ?? remembered(volume, masks)
  if (kept !== null) return kept
  const run = stages(volume, masks)
  for (;;) {
    const step = run.next()
    if (step.done) return keep(step.value)
    options.onProgress?.(step.value)
    await options.pause?.()
    stopIfAborted(options.signal)
  }
}

/** The model of a volume without masks, made on first use and kept as long as the volume lives. */
export function boneModel(volume: Volume): BoneModel {
  const kept = keptModel(volume, NO_MASKS)
  if (kept !== null) return kept
  const run = stages(volume, NO_MASKS)
  let step = run.next()
  while (!step.done) step = run.next()
  known.set(volume, step.value)
  return step.value
}

const NO_MASKS: readonly BoneMask[] = []
const known = new WeakMap<Volume, BoneModel>()

function keptModel(volume: Volume, masks: readonly BoneMask[]): BoneModel | null {
  const kept = known.get(volume)
  return kept !== undefined && sameMasks(kept.masks, masks) ? kept : null
}

const sameMasks = (a: readonly BoneMask[], b: readonly BoneMask[]): boolean =>
  a.length === b.length && a.every((mask, n) => mask === b[n])

/** By voxels and place; without the volume and what is blurred of it, so that no scan is kept alive. */
const learned = new Map<string, Omit<BoneModel, 'volume' | 'smoothed'>>()
const MOST_LEARNED = 2

const keyOf = ({ identity, noData }: Volume): string => `${identity.fingerprint} ${noData}`

function keep(model: BoneModel): BoneModel {
  const { volume, smoothed: _, ...rest } = model
  known.set(volume, model)
  learned.set(keyOf(volume), rest)
  for (const oldest of learned.keys()) {
    if (learned.size <= MOST_LEARNED) break
    learned.delete(oldest)
  }
  return model
}

function remembered(volume: Volume, masks: readonly BoneMask[]): BoneModel | null {
  const rest = learned.size > 0 ? learned.get(keyOf(volume)) : undefined
  if (rest === undefined || !sameMasks(rest.masks, masks)) return null
  const model = { ...rest, volume, smoothed: smoothedSampler(volume, rest.smoothingMm) }
  known.set(volume, model)
  return model
}
