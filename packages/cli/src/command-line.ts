import { parseArgs } from 'node:util'

/** A wrong command line: what is wrong and how to put it right. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
}

export interface CommandLine {
  readonly command: string
  readonly paths: readonly string[]
  readonly options: Readonly<Record<string, string | boolean | undefined>>
}

export const USAGE = `alveometer: access exit and bone margin of a planned fixture, measured on a scan

  alveometer inspect PATH
      what is in a file, folder or zip, and what is wrong with it
  alveometer probe --scan PATH --points "x,y,z;x,y,z"
      grey values at points, LPS mm
  alveometer assess --scan PATH --plan PLAN.json [--refined]
      the whole assessment of a plan, measured fast as while a fixture is moved; --refined fits an edge
      on every ray: about a second more, narrower intervals, and how thick the cortical plate is
  alveometer graft --scan PATH --plan PLAN.json [--refined] [--mesh OUT.stl] [--kept OUT.stl]
      what the plan's graft comes to, where, and the margins before it, with it and after the expected loss;
      where the plan has none: the bone missing to the wanted margins. --mesh writes the graft as it is
      built, --kept what is expected to remain: binary STL, mm, LPS
  alveometer tilt-chart --scan PATH --plan PLAN.json [--kind tilt|depth|shift] [--pivot platform|apex|crest]
                       [--columns FROM,TO,COUNT] [--rows FROM,TO,COUNT]
      every tilt of the plan's fixture at once: least margin, access exit, bend and graft that are needed,
      clearance. Columns: facial-palatal tilt, degrees (-30,30,61); rows by kind: mesial-distal tilt, degrees
      (-15,15,31), or moved along the axis or facially, mm (-3,3,31). Negative numbers as --rows=-3,3,7
  alveometer ways-out --scan PATH --plan PLAN.json [--diameters MM,MM] [--lengths MM,MM] [--in-hand MM]
      the best placement of each way out: straight screw without and with graft, angled screw and cemented
      without graft; what binds it, or why there is none. --diameters, --lengths: sizes that may be placed
  alveometer miss-cloud --scan PATH --plan PLAN.json [--error guided|freehand|own] [--entry MM --angle DEG]
                       [--draws 10000] [--seed 1] [--way straight|straight-graft|angled|cemented]
                       [--counted all|bone-and-access]
      the plan under placement error: how often each limit holds, what fails first, and how well it must be
      placed; --entry, --angle: your own mean errors at the platform and of the axis; --counted: the limits
      that the sums are of
  alveometer crown --mesh FILE [--tooth 11] [--unit mm|cm|centimetre|metre|micrometre|inch|foot]
      what is in a crown's mesh file (STL, OBJ, PLY, 3MF), what was repaired in reading it, and which unit
      would fit; --tooth, ISO 3950: where the crown of that tooth lies in it, its size and landmarks
  alveometer phantom --out FOLDER [--seed WORD] [--voxel MM] [--as zip|folder]
      makes the upper front sample scan, its plans and its known answers

  of inspect, probe, assess, graft, tilt-chart, ways-out and miss-cloud:
  --series UID     the series, where there are several
  --half           voxels of twice the size, an eighth of the memory
  --region i0,j0,k0,i1,j1,k1
                   only these voxels: the first along columns, rows and slices, and the first beyond
  --answers FILE.json
                   geometry that the files do not give and you confirm:
                   {"pixelSpacingMm": [between rows, between columns], "sliceStepMm": 0.3,
                    "orientation": {"row": [1,0,0], "column": [0,1,0], "slice": [0,0,1]},
                    "how": {"slice-step": "known-length"}}
                   orientation: LPS directions of growing column, row and slice number;
                   how: known-length, typed, from-header or chosen

JSON on stdout, messages on stderr. Exit 0, or 2 when the input cannot be used.
Planning and teaching aid, not a medical device.
`

const OPTIONS = {
  scan: { type: 'string' },
  plan: { type: 'string' },
  points: { type: 'string' },
  series: { type: 'string' },
  half: { type: 'boolean' },
  region: { type: 'string' },
  answers: { type: 'string' },
  refined: { type: 'boolean' },
  mesh: { type: 'string' },
  kept: { type: 'string' },
  tooth: { type: 'string' },
  unit: { type: 'string' },
  out: { type: 'string' },
  seed: { type: 'string' },
  voxel: { type: 'string' },
  as: { type: 'string' },
  kind: { type: 'string' },
  pivot: { type: 'string' },
  columns: { type: 'string' },
  rows: { type: 'string' },
  diameters: { type: 'string' },
  lengths: { type: 'string' },
  'in-hand': { type: 'string' },
  error: { type: 'string' },
  entry: { type: 'string' },
  angle: { type: 'string' },
  draws: { type: 'string' },
  counted: { type: 'string' },
  way: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
  version: { type: 'boolean', short: 'v' },
} as const

/** @throws UsageError */
export function readCommandLine(args: readonly string[]): CommandLine {
  try {
    const { values, positionals } = parseArgs({ args: [...args], options: OPTIONS, allowPositionals: true })
    return { command: positionals[0] ?? '', paths: positionals.slice(1), options: values }
  } catch (error) {
    throw new UsageError(`${error instanceof Error ? error.message : error}\n\n${USAGE}`)
  }
}

/** An option that must be given. @throws UsageError naming it. */
export function required({ command, options }: CommandLine, name: string): string {
  const value = options[name]
  if (typeof value !== 'string' || value === '')
    throw new UsageError(`${command} needs --${name}; see alveometer --help`)
  return value
}

export const optional = ({ options }: CommandLine, name: string): string | undefined => {
  const value = options[name]
  return typeof value === 'string' ? value : undefined
}

/** An option that is one of some words; the first of them when absent. @throws UsageError naming them. */
export function oneOf<T extends string>(line: CommandLine, name: string, known: readonly T[]): T {
  const given = optional(line, name) ?? known[0]
  const found = known.find((one) => one === given)
  if (found === undefined)
    throw new UsageError(
      `--${name} ${given} is unknown: use ${known.slice(0, -1).join(', ')} or ${known.at(-1)}`,
    )
  return found
}

/** @throws UsageError when it is no number. */
export function numberOf(line: CommandLine, name: string): number | undefined {
  const given = optional(line, name)
  return given === undefined ? undefined : asNumber(name, given)
}

/** Numbers apart by commas. @throws UsageError when one is none. */
export const numbersOf = (line: CommandLine, name: string): readonly number[] | undefined =>
  optional(line, name)
    ?.split(',')
    .map((part) => asNumber(name, part))

function asNumber(name: string, given: string): number {
  const number = given.trim() === '' ? Number.NaN : Number(given)
  if (Number.isNaN(number)) throw new UsageError(`--${name} ${given} is no number`)
  return number
}
