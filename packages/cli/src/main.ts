import { createRequire } from 'node:module'
import { MeshError } from '@alveometer/core'
import { isScanError, type ScanError } from '@alveometer/scan'
import { assessPlan } from './assess.js'
import { type CommandLine, readCommandLine, USAGE, UsageError } from './command-line.js'
import { crown } from './crown.js'
import { graft } from './graft.js'
import { inspect } from './inspect.js'
import { missCloudCommand } from './miss-cloud.js'
import { phantom } from './phantom.js'
import { probe } from './probe.js'
import { tiltChartCommand } from './tilt-chart.js'
import { waysOutCommand } from './ways-out.js'

const COMMANDS: Readonly<Record<string, (line: CommandLine) => Promise<unknown>>> = {
  inspect,
  probe,
  assess: assessPlan,
  graft,
  crown,
  'tilt-chart': tiltChartCommand,
  'ways-out': waysOutCommand,
  'miss-cloud': missCloudCommand,
  phantom,
}

/**
 * Runs one command. JSON goes to stdout, messages to stderr.
 * @returns the exit code: 0, or 2 when the input cannot be used.
 */
export async function run(args: readonly string[]): Promise<number> {
  try {
    const line = readCommandLine(args)
    if (line.options.version === true) {
      const manifest: { version: string } = createRequire(import.meta.url)('../package.json')
      process.stdout.write(`${manifest.version}\n`)
      return 0
    }
    if (line.options.help === true || line.command === '') {
      process.stderr.write(USAGE)
      return line.options.help === true ? 0 : 2
    }
    const command = COMMANDS[line.command]
    if (command === undefined)
      throw new UsageError(
        `there is no command "${line.command}"; there are ${Object.keys(COMMANDS).join(', ')}`,
      )
    const result = await command(line)
    process.stdout.write(`${JSON.stringify(result, null, 1)}\n`)
    return 0
  } catch (error) {
    process.stderr.write(`alveometer: ${explain(error)}\n`)
    return 2
  }
}

function explain(error: unknown): string {
  if (
    error instanceof UsageError ||
    error instanceof MeshError ||
    error instanceof RangeError ||
    isScanError(error)
  )
    return `${error.message}${isScanError(error) ? optionFor(error) : ''}`
  return error instanceof Error ? (error.stack ?? error.message) : String(error)
}

const OPEN_GEOMETRY: readonly string[] = ['spacing-missing', 'slice-step-missing', 'orientation-missing']

/** The option of the command line that helps. */
function optionFor({ code, report }: ScanError): string {
  if (code === 'too-large' || report.some((entry) => entry.code === 'too-large'))
    return ' Here: --half or --region.'
  const [first] = report.filter(({ level }) => level === 'block')
  return code === 'blocked' && first !== undefined && OPEN_GEOMETRY.includes(first.code)
    ? ' Here: --answers FILE.json, see alveometer --help.'
    : ''
}
