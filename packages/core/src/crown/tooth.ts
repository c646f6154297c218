const PERMANENT = /^[1-4][1-8]$/

/**
 * Checks an ISO 3950 permanent tooth number, "11" to "48".
 * @throws RangeError naming the value when it is not one.
 */
export function checkTooth(tooth: string): string {
  if (!PERMANENT.test(tooth))
    throw new RangeError(`"${tooth}" is not a permanent tooth of ISO 3950: use 11-18, 21-28, 31-38 or 41-48`)
  return tooth
}

const quadrant = (tooth: string): number => Number(checkTooth(tooth)[0])

/** Place in the quadrant, 1 (central incisor) to 8 (third molar). Throws RangeError for an unknown tooth. */
export const placeInQuadrant = (tooth: string): number => Number(checkTooth(tooth)[1])

/** True for premolars and molars. Throws RangeError for an unknown tooth. */
export const isPosterior = (tooth: string): boolean => placeInQuadrant(tooth) > 3

/** True for the maxilla. Throws RangeError for an unknown tooth. */
export const isUpper = (tooth: string): boolean => quadrant(tooth) < 3

/** What the side towards the mouth is called there. Throws RangeError for an unknown tooth. */
export const oralSide = (tooth: string): 'palatal' | 'lingual' => (isUpper(tooth) ? 'palatal' : 'lingual')

/**
 * Which side +y of the crown and fixture frames is (+z apical, +x facial, +y = z x x).
 * Tooth 11: z = superior, x = anterior, so y = the patient's left = towards the midline = mesial; 21 is its mirror
 * image. In the mandible z turns over and so do the two sides. Throws RangeError for an unknown tooth.
 */
export const plusYSide = (tooth: string): 'mesial' | 'distal' =>
  quadrant(tooth) % 2 === 1 ? 'mesial' : 'distal'

/** The same tooth on the other side of the midline: quadrants 1 and 2 belong together, and so do 3 and 4. Throws RangeError for an unknown tooth. */
export const antimereOf = (tooth: string): string =>
  `${quadrant(tooth) % 2 === 1 ? quadrant(tooth) + 1 : quadrant(tooth) - 1}${placeInQuadrant(tooth)}`
