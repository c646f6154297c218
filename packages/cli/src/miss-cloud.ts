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
import { type CommandLine, optional, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

const ERRORS = ['guided', 'freehand', 'own'] as const

/** A plan under placement error, on a scan. */
export async function missCloudCommand(line: CommandLine): Promise<MissCloud> {
  const planPath = required(line, 'plan')
  const error = errorOf(line)
  const way = optional(line, 'way') === undefined ? undefined : oneOf(line, 'way', WAYS_OUT)
  const [draws, seed] = [numberOf(line, 'draws'), numberOf(line, 'seed')]
  const plan = await openPlan(planPath)
  const { volume } = await openScan(line)
  const crownMesh = await openCrown(plan, planPath)
  const site = exploredSite(boneModel(volume), plan, crownMesh === undefined ? {} : { crownMesh })
  return missCloud(site, {
    error,
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

function oneOf<T extends string>(line: CommandLine, name: string, known: readonly T[]): T {
  const given = optional(line, name) ?? known[0]
  const found = known.find((one) => one === given)
  if (found === undefined)
    throw new UsageError(
      `--${name} ${given} is unknown: use ${known.slice(0, -1).join(', ')} or ${known.at(-1)}`,
    )
  return found
}

function numberOf(line: CommandLine, name: string): number | undefined {
  const given = optional(line, name)
  if (given === undefined) return undefined
  const number = given.trim() === '' ? Number.NaN : Number(given)
  if (Number.isNaN(number)) throw new UsageError(`--${name} ${given} is no number`)
  return number
}
