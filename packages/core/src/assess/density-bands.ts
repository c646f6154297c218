import type { HuInterval } from '../plan/index.js'

/** The class of one published system that a calibrated density falls into; a range where its interval straddles. */
export interface DensityBand {
  /** Who made the classes. */
  readonly system: string
  /** The densest and the least dense class that the interval reaches, such as D2 and D3; the same when it straddles none. */
  readonly densest: string
  readonly leastDense: string
  /** "D2", or "D2 to D3". */
  readonly text: string
  readonly source: string
}

interface BandSystem {
  readonly system: string
  readonly source: string
  /** From the least dense up: the class and the Hounsfield number from which on it holds. */
  readonly classes: readonly (readonly [from: number, name: string])[]
}

const BELOW_ALL = Number.NEGATIVE_INFINITY

/** All drawn on medical CT; the systems differ by a factor of two, mostly by where they measured. */
const SYSTEMS: readonly BandSystem[] = [
  {
    system: 'Misch',
    source: 'Misch, Contemporary Implant Dentistry; from memory',
    classes: [
      [BELOW_ALL, 'D5'],
      [150, 'D4'],
      [350, 'D3'],
      [850, 'D2'],
      [1250, 'D1'],
    ],
  },
  {
    system: 'Norton & Gamble',
    source:
      'Norton & Gamble 2001, Clin Oral Implants Res 12:79, as quoted in Hiasa 2011, table 3; the class below 0 from memory',
    classes: [
      [BELOW_ALL, '< 0'],
      [0, 'type 4'],
      [500, 'type 2/3'],
      [850, 'type 1'],
    ],
  },
  {
    system: 'Rebaudi',
    source: 'Rebaudi, as quoted in Hiasa 2011, ISRN Dent 678729, table 3',
    classes: [
      [BELOW_ALL, 'soft'],
      [400, 'normal'],
      [1000, 'hard'],
    ],
  },
  {
    system: 'de Oliveira',
    source: 'de Oliveira 2008, as quoted in Hiasa 2011, ISRN Dent 678729, table 3',
    classes: [
      [BELOW_ALL, '< 200'],
      [200, '200\u2013400'],
      [400, '> 400'],
    ],
  },
]

/** The classes that a density's whole 95 % interval covers, system by system. */
export const densityBands = ({ hu, halfWidthHu }: HuInterval): DensityBand[] =>
  SYSTEMS.map(({ system, source, classes }) => {
    const leastDense = classAt(classes, hu - halfWidthHu)
    const densest = classAt(classes, hu + halfWidthHu)
    const text = densest === leastDense ? densest : `${densest} to ${leastDense}`
    return { system, densest, leastDense, text, source }
  })

const classAt = (classes: BandSystem['classes'], hu: number): string =>
  classes.reduce((found, [from, name]) => (hu >= from ? name : found), '')
