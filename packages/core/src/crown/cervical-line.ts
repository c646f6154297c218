/** Where the cemento-enamel junction runs, mm; +y is mesial. */
export interface CervicalLine {
  /** How far it rises coronally on the mesial and on the distal side. */
  readonly mesialMm: number
  readonly distalMm: number
  /** Half the mesiodistal width at the cervical margin. */
  readonly halfWidthMm: number
  /** How far mesial of the root axis its facial zenith lies (distal: negative). */
  readonly zenithY: number
}

/**
 * Height of the cervical line at mesiodistal place `y`: parabolas that rise from the zenith (facial half) or from the
 * root axis (oral half) to the two sides. `facial`: 1 in the middle of the facial face, 0 on the oral half.
 */
export function cervicalHeight(line: CervicalLine, y: number, facial: number): number {
  const low = line.zenithY * facial
  return y > low
    ? line.mesialMm * ((y - low) / (line.halfWidthMm - low)) ** 2
    : line.distalMm * ((low - y) / (line.halfWidthMm + low)) ** 2
}

/**
 * How far distal of the crown's midline the most apical point of the facial margin lies, mm, upper places 1 to 3.
 * Chu et al. 2009, J Esthet Restor Dent 21:113 (from memory); elsewhere taken as in the middle.
 */
const ZENITH_DISTAL_MM = [1, 0.4, 0]

/** Distance of the zenith from the crown's midline towards distal, mm. `place` 1 to 8 in the quadrant. */
export const zenithDistalMm = (upper: boolean, place: number): number =>
  upper ? (ZENITH_DISTAL_MM[place - 1] ?? 0) : 0
