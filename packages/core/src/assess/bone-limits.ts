import { isPosterior, isUpper } from '../crown/index.js'
import type { Limit } from './limit.js'

const COMMON_1MM =
  'common practice; no agreed minimum (BMC Oral Health 2023, s12903-023-02991-3); no minimum provable in 7 human studies (Albeshri and Greenstein 2021, Compendium 42(9))'

/** Millimetres of bone. */
const bone = (code: string, value: number, meaning: string, source: string): Limit => ({
  code,
  value,
  unit: 'mm',
  plausible: [0, 10],
  meaning,
  source,
})

/** How much bone is wanted round a fixture in the place of a tooth. */
export function boneLimits(tooth: string): readonly Limit[] {
  const aesthetic = isUpper(tooth) && !isPosterior(tooth)
  return [
    bone('marginMm', 1, 'least bone all round, facial side excepted', COMMON_1MM),
    bone('marginTargetMm', 1.5, 'wanted bone all round, facial side excepted', 'common practice'),
    bone('facialMarginMm', 1, 'least facial bone', COMMON_1MM),
    aesthetic
      ? bone(
          'facialMarginTargetMm',
          2,
          'wanted facial bone, upper front',
          'Grunder, Gracis and Capelli 2005 (from memory); 1.5 mm: ITI 7th Consensus, Jensen 2023, COIR 34:43; none provable: Albeshri and Greenstein 2021',
        )
      : bone('facialMarginTargetMm', 1.5, 'wanted facial bone', 'ITI 7th Consensus, Jensen 2023, COIR 34:43'),
  ]
}
