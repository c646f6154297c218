import { isPosterior, isUpper } from '../crown/index.js'
import type { Limit } from './limit.js'

const CROWN_HEIGHT = 'Carpentieri, Greenstein and Cavallaro 2019, J Am Dent Assoc (year from memory)'
const BUSER = 'Buser, Martin and Belser 2004, IJOMI 19(Suppl):43 (figure from memory)'

const mm = (
  code: string,
  value: number,
  plausible: Limit['plausible'],
  meaning: string,
  source: string,
): Limit => ({ code, value, unit: 'mm', plausible, meaning, source })

/** How deep and how far facially a platform is wanted, and the room and cleanliness that a crown needs above it. */
export function restorationLimits(tooth: string): readonly Limit[] {
  const upperFront = isUpper(tooth) && !isPosterior(tooth)
  const depthSource = upperFront
    ? `bone-level fixtures, upper front: ${BUSER}; 3 mm: Rojas-Vizcaya 2013, J Prosthodont 22:575 (from memory)`
    : `common practice for bone-level fixtures, after the upper front: ${BUSER}`
  return [
    mm(
      'platformDepthLeastMm',
      3,
      [0, 10],
      'least depth of the platform below the planned margin',
      depthSource,
    ),
    mm(
      'platformDepthGreatestMm',
      4,
      [0, 15],
      'greatest depth of the platform below the planned margin',
      depthSource,
    ),
    mm(
      'crownHeightScrewMm',
      4,
      [0, 15],
      'least height from platform to the top of a crown screwed onto the fixture itself',
      `4 to 5 mm: ${CROWN_HEIGHT}`,
    ),
    mm(
      'crownHeightAngledMm',
      7.5,
      [0, 20],
      'height from platform to the top of a crown with an abutment under it; below it an angled channel needs a part that sits on the fixture itself',
      `7.5 mm at abutment level: ${CROWN_HEIGHT}`,
    ),
    mm(
      'crownHeightCementMm',
      7,
      [0, 20],
      'least height from platform to the top of a cemented crown',
      `7 to 8 mm: ${CROWN_HEIGHT}`,
    ),
    mm(
      'cementMarginDepthMm',
      2,
      [0, 10],
      'greatest depth of a cement line below the margin',
      'cement is hard to remove deeper than 2 mm: Hayashi 2008, Int Poster J Dent Oral Med 10:402',
    ),
    mm(
      'cementMarginTargetMm',
      1,
      [0, 10],
      'wanted depth of a cement line below the margin, at most',
      'undetected cement rises with depth: Linkevicius 2011 and 2013 (from memory)',
    ),
    {
      code: 'emergenceDeg',
      value: 30,
      unit: 'deg',
      plausible: [0, 90],
      meaning: 'greatest emergence angle',
      source:
        'wider angles went with more peri-implantitis: Katafuchi 2018, J Clin Periodontol 45:225 (from memory)',
    },
    mm(
      'rimOralLeastMm',
      0,
      [0, 5],
      "least distance of the platform's facial rim oral of the crown's facial margin",
      `facial of it the mucosa tends to recede: ${BUSER}`,
    ),
    mm(
      'rimOralTargetMm',
      1,
      [0, 5],
      "wanted distance of the platform's facial rim oral of the crown's facial margin, at least",
      `about 1 mm: ${BUSER}`,
    ),
    mm(
      'rimOralGreatestMm',
      2,
      [0, 10],
      "greatest distance of the platform's facial rim oral of the crown's facial margin",
      `farther the crown laps over the ridge: ${BUSER}`,
    ),
  ]
}
