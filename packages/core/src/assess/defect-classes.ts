import type { DefectMeasures } from './defect-measures.js'
import type { DefectClass } from './graft-assessment.js'
import { percent } from './words.js'

/** What is missing counts from here on: a voxel or two of a cone-beam scan; own choice. */
const LEAST_MM = 0.5

/**
 * What is missing round the fixture in the words of published classes, each with what it was told from; no class where
 * the scan alone does not tell it. Soft tissue, the sinus and whether a defect lies inside the ridge's contour are not
 * told, and classes of whole jaws (Cawood and Howell 1988) are left out.
 */
export function defectClasses(measures: DefectMeasures): DefectClass[] {
  return [...ridgeClasses(measures), ...fixtureClasses(measures)]
}

/** The classes that know a horizontal and a vertical part. */
function ridgeClasses({ horizontalMm, verticalMm }: DefectMeasures): DefectClass[] {
  const horizontal = horizontalMm >= LEAST_MM
  const vertical = verticalMm >= LEAST_MM
  if (!horizontal && !vertical) return []
  const part = horizontal && vertical ? 'combined' : horizontal ? 'horizontal' : 'vertical'
  const mm = Math.max(horizontal ? horizontalMm : 0, vertical ? verticalMm : 0)
  const from = `told from ${horizontal ? `${horizontalMm.toFixed(1)} mm missing across` : 'nothing missing across'} and ${vertical ? `${verticalMm.toFixed(1)} mm in height` : 'nothing in height'}, held against this fixture and not against the neighbours`
  const described = (scheme: string, name: string, source: string, not = ''): DefectClass => ({
    scheme,
    class: name,
    text: `Would be described as ${scheme} ${name}: ${from}${not}.`,
    source,
  })
  return [
    described(
      'Seibert 1983',
      {
        horizontal: 'class I (horizontal)',
        vertical: 'class II (vertical)',
        combined: 'class III (combined)',
      }[part],
      'Seibert 1983, after the Cologne guideline of 2013; a class of ridges with their soft tissue',
    ),
    described(
      'Allen 1985',
      `${{ horizontal: 'type B (horizontal)', vertical: 'type A (vertical)', combined: 'type C (combined)' }[part]}, ${mm < 3 ? 'mild' : mm <= 6 ? 'moderate' : 'severe'}`,
      'Allen 1985: mild under 3, moderate 3 to 6, severe over 6 mm',
    ),
    described(
      'Cologne 2013',
      `${LETTER[part]}.${mm < 4 ? 1 : mm <= 8 ? 2 : 3}`,
      'Cologne classification 2013: 1 under 4, 2 from 4 to 8, 3 over 8 mm (sizes from memory)',
      '; whether it lies inside the ridge contour is not told',
    ),
    described(
      'HVC 2002',
      `${LETTER[part]}, ${hvcSize(mm)}`,
      'Wang and Al-Shammari 2002: small to 3, medium 4 to 6, large from 7 mm, to the whole millimetre (from memory)',
    ),
  ]
}

const LETTER = { horizontal: 'H', vertical: 'V', combined: 'C' } as const

function hvcSize(mm: number): string {
  const whole = Math.round(mm)
  return whole <= 3 ? 'small' : whole <= 6 ? 'medium' : 'large'
}

/** The classes that are told from how much of a fixture is uncovered. */
function fixtureClasses(measures: DefectMeasures): DefectClass[] {
  if (measures.open) return []
  return [...terheyden(measures), ...benicHammerle(measures)]
}

function terheyden({ facialBareMm, oralBareMm, lengthMm }: DefectMeasures): DefectClass[] {
  if (facialBareMm < LEAST_MM) return []
  const facial = facialBareMm / lengthMm
  const oral = oralBareMm / lengthMm
  const quarters = facial <= 0.5 ? 1 : oral > 0.5 ? 4 : oralBareMm >= LEAST_MM ? 3 : 2
  const usually = quarters <= 2 ? 'usually grafted with the fixture' : 'usually grafted before the fixture'
  return [
    {
      scheme: 'Terheyden 2010',
      class: `${quarters}/4`,
      text: `Would be described as Terheyden 2010 ${quarters}/4, ${usually}: told from ${percent(facial)} of the fixture's length uncovered facially and ${percent(oral)} opposite, from the platform down.`,
      source: 'Terheyden 2010 (from memory)',
    },
  ]
}

/** Class 1 is of sockets and class 4 of ridges too narrow for any fixture: a scan with a planned fixture tells neither. */
function benicHammerle({ facialBareMm, oralBareMm, verticalMm, walls }: DefectMeasures): DefectClass[] {
  if (Math.max(facialBareMm, oralBareMm) < LEAST_MM) return []
  const stable = walls.sides.every(({ side, stands }) => stands || side === 'facial' || side === 'oral')
  const [name, what] =
    verticalMm >= LEAST_MM
      ? ['5', `bone missing all round over ${verticalMm.toFixed(1)} mm of height`]
      : stable
        ? ['2', 'a dehiscence with bone standing mesially and distally']
        : ['3', 'a dehiscence without bone standing on both sides of it']
  return [
    {
      scheme: 'Benic and Hämmerle 2014',
      class: name,
      text: `Would be described as Benic and Hämmerle 2014 class ${name}: told from ${what}; how stable walls are is not told by a scan.`,
      source: 'Benic and Hämmerle 2014, Periodontol 2000 66:13 (classes from memory)',
    },
  ]
}
