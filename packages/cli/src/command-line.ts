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
  alveometer crown --mesh FILE [--tooth 11] [--unit mm|cm|centimetre|metre|micrometre|inch|foot]
      what is in a crown's mesh file (STL, OBJ, PLY, 3MF), what was repaired in reading it, and which unit
      would fit; --tooth, ISO 3950: where the crown of that tooth lies in it, its size and landmarks
  alveometer phantom --out FOLDER [--seed WORD] [--voxel MM] [--as zip|folder]
      makes the upper front sample scan, its plans and its known answers

  of inspect, probe, assess and graft:
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
