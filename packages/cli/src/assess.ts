import { readFile } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import {
  type Assessment,
  assess,
  importMesh,
  type MeasureMode,
  type Mesh,
  type Plan,
  readPlan,
  type Volume,
} from '@alveometer/core'
import { type CommandLine, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

/** The assessment of a plan on a scan. */
export async function assessPlan(line: CommandLine): Promise<Assessment> {
  const path = required(line, 'plan')
  const plan = await openPlan(path)
  const { volume } = await openScan(line)
  return assessed(line, volume, plan, path)
}

/** The assessment of a plan that lay at a path, on an open scan. */
export async function assessed(
  line: CommandLine,
  volume: Volume,
  plan: Plan,
  planPath: string,
): Promise<Assessment> {
  const crownMesh = await openCrown(plan, planPath)
  const mode = modeOf(line)
  const assessment = assess(volume, plan, { mode, ...(crownMesh === undefined ? {} : { crownMesh }) })
  // The warnings of the load report are on stderr already.
  const said = new Set(volume.remarks.map(({ code }) => `scan-${code}`))
  for (const { level, code, text } of assessment.findings)
    if (level === 'caution' && !said.has(code)) console.error(`caution: ${text}`)
  return assessment
}

export const modeOf = ({ options }: CommandLine): MeasureMode =>
  options.refined === true ? 'refined' : 'fast'

/** @throws UsageError naming the file. */
export async function openPlan(path: string): Promise<Plan> {
  let text: string
  try {
    text = await readFile(path, 'utf8')
  } catch {
    throw new UsageError(`${path}: cannot be read. Check the path and that it may be read.`)
  }
  try {
    return readPlan(text)
  } catch (error) {
    throw new UsageError(`${path}: ${error instanceof Error ? error.message : error}`)
  }
}

/** The mesh of an imported crown; its file is named relative to the plan, or absolutely. */
export async function openCrown({ crown }: Plan, planPath: string): Promise<Mesh | undefined> {
  if (crown.kind !== 'mesh') return undefined
  const path = resolve(dirname(planPath), crown.file)
  let bytes: Uint8Array
  try {
    bytes = await readFile(path)
  } catch {
    throw new UsageError(
      `${path}: the crown's mesh cannot be read. Put it beside the plan or name it absolutely.`,
    )
  }
  const { mesh, statedUnitMm, notes } = importMesh(bytes, path)
  if (statedUnitMm !== null && (crown.unitMm ?? 1) !== 1)
    throw new UsageError(`${path}: the file states its unit itself. Take crown.unitMm out of the plan.`)
  for (const { code, text } of notes)
    if (crown.unitMm === undefined || !UNIT_NOTES.includes(code)) console.error(`caution: ${text}`)
  return mesh
}

/** Said of the file's own numbers; they mean nothing where the plan names the unit. */
const UNIT_NOTES: readonly string[] = ['unit-unlikely', 'size-unlikely', 'larger-than-a-crown']
