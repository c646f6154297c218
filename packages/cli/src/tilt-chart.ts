import {
  boneModel,
  type ChartAxis,
  chartSpec,
  exploredSite,
  type TiltChart,
  type TiltChartSpec,
  tiltChart,
} from '@alveometer/core'
import { openCrown, openPlan } from './assess.js'
import { type CommandLine, oneOf, optional, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

const KINDS = ['tilt', 'depth', 'shift'] as const
const PIVOTS = ['platform', 'apex', 'crest'] as const

/** Every tilt of a plan's fixture on a scan. */
export async function tiltChartCommand(line: CommandLine): Promise<TiltChart> {
  const planPath = required(line, 'plan')
  const spec = specOf(line)
  const plan = await openPlan(planPath)
  const { volume } = await openScan(line)
  const crownMesh = await openCrown(plan, planPath)
  const site = exploredSite(boneModel(volume), plan, crownMesh === undefined ? {} : { crownMesh })
  return tiltChart(site, spec)
}

/** @throws UsageError for an option that is none; RangeError for axes that cannot be charted. */
function specOf(line: CommandLine): TiltChartSpec {
  const columns = axisOf(line, 'columns')
  const rows = axisOf(line, 'rows')
  return chartSpec(oneOf(line, 'kind', KINDS), oneOf(line, 'pivot', PIVOTS), {
    ...(columns === undefined ? {} : { columns }),
    ...(rows === undefined ? {} : { rows }),
  })
}

function axisOf(line: CommandLine, name: string): ChartAxis | undefined {
  const given = optional(line, name)
  if (given === undefined) return undefined
  const numbers = given.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)))
  if (numbers.length !== 3 || numbers.some(Number.isNaN))
    throw new UsageError(`--${name} ${given} is no axis: give from, to and how many, as --${name}=-10,10,21`)
  const [from, to, count] = numbers
  return { from, to, count }
}
