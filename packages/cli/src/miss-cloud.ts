import {
  boneModel,
  exploredSite,
  freehandError,
  guidedError,
  type MissCloud,
  missCloud,
  ownError,
  type PlacementError,
  WAYS_OUT,
} from '@alveometer/core'
import { openCrown, openPlan } from './assess.js'
import { type CommandLine, numberOf, oneOf, optional, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

const COUNTED = ['all', 'bone-and-access'] as const
const ERRORS = ['guided', 'freehand', 'own'] as const

/** A plan under placement error, on a scan. */
export async function missCloudCommand(line: CommandLine): Promise<MissCloud> {
  const planPath = required(line, 'plan')
  const error = errorOf(line)
  const way = optional(line, 'way') === undefined ? undefined : oneOf(line, 'way', WAYS_OUT)
  const counted = oneOf(line, 'counted', COUNTED)
  const [draws, seed] = [numberOf(line, 'draws'), numberOf(line, 'seed')]
  const plan = await openPlan(planPath)
  const { volume } = await openScan(line)
  const crownMesh = await openCrown(plan, planPath)
  const site = exploredSite(boneModel(volume), plan, crownMesh === undefined ? {} : { crownMesh })
  return missCloud(site, {
    error,
    counted,
    ...(way === undefined ? {} : { way }),
    ...(draws === undefined ? {} : { draws }),
    ...(seed === undefined ? {} : { seed }),
  })
}

/** `own` needs --entry and --angle; they make the error one's own where --error is absent. */
function errorOf(line: CommandLine): PlacementError {
  const [entryMeanMm, angleMeanDeg] = [numberOf(line, 'entry'), numberOf(line, 'angle')]
  const isOwn = entryMeanMm !== undefined || angleMeanDeg !== undefined
  const kind = optional(line, 'error') === undefined && isOwn ? 'own' : oneOf(line, 'error', ERRORS)
  if (kind !== 'own') {
    if (isOwn)
      throw new UsageError(`--entry and --angle are of --error own; --error ${kind} has its own figures`)
    return kind === 'guided' ? guidedError() : freehandError()
  }
  if (entryMeanMm === undefined || angleMeanDeg === undefined)
    throw new UsageError(
      '--error own needs --entry, the mean distance in mm, and --angle, the mean in degrees',
    )
  return ownError({ entryMeanMm, angleMeanDeg })
}
