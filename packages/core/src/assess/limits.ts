import { isPosterior, isUpper } from '../crown/index.js'

/** A threshold with its source. Every one can be overridden by its code in the plan. */
export interface Limit {
  readonly code: string
  readonly value: number
  readonly unit: 'mm' | 'deg'
  readonly meaning: string
  readonly source: string
}

const COMMON_1MM =
  'common practice; no agreed minimum (BMC Oral Health 2023, s12903-023-02991-3); no minimum provable in 7 human studies (Albeshri and Greenstein 2021, Compendium 42(9))'

/** The limits for a tooth, by code. Sources: published figures where there are any, else "common practice" or "from memory". */
export function limitsFor(tooth: string): readonly Limit[] {
  const aesthetic = isUpper(tooth) && !isPosterior(tooth)
  return [
    {
      code: 'marginMm',
      value: 1,
      unit: 'mm',
      meaning: 'least bone all round, facial side excepted',
      source: COMMON_1MM,
    },
    {
      code: 'marginTargetMm',
      value: 1.5,
      unit: 'mm',
      meaning: 'wanted bone all round, facial side excepted',
      source: 'common practice',
    },
    { code: 'facialMarginMm', value: 1, unit: 'mm', meaning: 'least facial bone', source: COMMON_1MM },
    aesthetic
      ? {
          code: 'facialMarginTargetMm',
          value: 2,
          unit: 'mm',
          meaning: 'wanted facial bone, upper front',
          source:
            'Grunder, Gracis and Capelli 2005 (from memory); 1.5 mm: ITI 7th Consensus, Jensen 2023, COIR 34:43; none provable: Albeshri and Greenstein 2021',
        }
      : {
          code: 'facialMarginTargetMm',
          value: 1.5,
          unit: 'mm',
          meaning: 'wanted facial bone',
          source: 'ITI 7th Consensus, Jensen 2023, COIR 34:43',
        },
    {
      code: 'edgeBandMm',
      value: 1.5,
      unit: 'mm',
      meaning: 'half width of the band round the incisal edge where no exit is wanted',
      source: 'ideal 1.5 mm palatal of the incisal margin: Gonzalez-Martin and Veltri 2021, IJPRD',
    },
    {
      code: 'wantedPalatalMm',
      value: 1.5,
      unit: 'mm',
      meaning: 'wanted place of the exit behind the incisal edge',
      source: 'Gonzalez-Martin and Veltri 2021, IJPRD',
    },
    {
      code: 'bendPivotMm',
      value: 3,
      unit: 'mm',
      meaning: 'height of the bend of an angled channel above the platform, along the crown',
      source: 'usual components 2 to 4 mm (from memory)',
    },
    {
      code: 'correctionDeg',
      value: 25,
      unit: 'deg',
      meaning: 'usual greatest correction by an angled channel',
      source: 'common practice (from memory); reviews: Rasaie 2022, Eur J Dent 16:488',
    },
    {
      code: 'correctionGreatestDeg',
      value: 30,
      unit: 'deg',
      meaning: 'greatest correction some components allow',
      source: 'common practice (from memory)',
    },
  ]
}

export type LimitValues = (code: string) => Limit

/**
 * The limits for a tooth with a plan's overrides in force.
 * @throws RangeError for an override that is not a limit of this version.
 */
export function resolveLimits(tooth: string, overrides: Readonly<Record<string, number>>): LimitValues {
  const limits = new Map(limitsFor(tooth).map((limit) => [limit.code, limit]))
  for (const [code, value] of Object.entries(overrides)) {
    const limit = limits.get(code)
    if (limit === undefined)
      throw new RangeError(`plan: limits.${code} is not a limit; known are ${[...limits.keys()].join(', ')}`)
    if (value < 0) throw new RangeError(`plan: limits.${code} must not be negative, got ${value}`)
    if (value !== limit.value)
      limits.set(code, {
        ...limit,
        value,
        source: `set in the plan (default ${limit.value} ${limit.unit}: ${limit.source})`,
      })
  }
  return (code) => {
    const limit = limits.get(code)
    if (limit === undefined) throw new RangeError(`no limit is called ${code}`)
    return limit
  }
}
