import { readFile } from 'node:fs/promises'
import { type Assessment, assess, type Plan, readPlan } from '@alveometer/core'
import { type CommandLine, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

/** The assessment of a plan on a scan. */
export async function assessPlan(line: CommandLine): Promise<Assessment> {
  const plan = await openPlan(required(line, 'plan'))
  const { volume } = await openScan(line)
  if (line.options.refined === true)
    console.error('note: the refined measurement is not built yet; margin.mode says "fast"')
  const assessment = assess(volume, plan)
  for (const { level, text } of assessment.findings)
    if (level === 'caution') console.error(`caution: ${text}`)
  return assessment
}

async function openPlan(path: string): Promise<Plan> {
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
