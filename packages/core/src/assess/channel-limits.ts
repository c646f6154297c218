import type { Limit } from './limit.js'

/** Where an access channel may leave, how far it may bend and how much crown is to stay round it. */
export const CHANNEL_LIMIT_TABLE: readonly Limit[] = [
  {
    code: 'edgeBandMm',
    value: 1.5,
    unit: 'mm',
    plausible: [0, 5],
    meaning: 'half width of the band round the incisal edge where no exit is wanted',
    source: 'ideal 1.5 mm palatal of the incisal margin: Gonzalez-Martin and Veltri 2021, IJPRD',
  },
  {
    code: 'wantedPalatalMm',
    value: 1.5,
    unit: 'mm',
    plausible: [0, 8],
    meaning: 'wanted place of the exit behind the incisal edge',
    source: 'Gonzalez-Martin and Veltri 2021, IJPRD',
  },
  {
    code: 'bendPivotMm',
    value: 3,
    unit: 'mm',
    plausible: [0, 10],
    meaning: 'height of the bend of an angled channel above the platform, along the crown',
    source: 'usual components 2 to 4 mm (from memory)',
  },
  {
    code: 'correctionDeg',
    value: 25,
    unit: 'deg',
    plausible: [0, 60],
    meaning: 'usual greatest correction by an angled channel',
    source: 'common practice (from memory); reviews: Rasaie 2022, Eur J Dent 16:488',
  },
  {
    code: 'correctionGreatestDeg',
    value: 30,
    unit: 'deg',
    plausible: [0, 60],
    meaning: 'greatest correction some components allow',
    source: 'common practice (from memory)',
  },
  {
    code: 'channelDiameterMm',
    value: 2.3,
    unit: 'mm',
    plausible: [1, 5],
    meaning: 'diameter of the access channel; 2.0 to 3.5 mm in use',
    source:
      '2.3 mm kept more strength of posterior zirconia crowns than 3.5 mm: Open Dent J 2023 17:e18742106265390',
  },
  {
    code: 'leastWallMm',
    value: 0.8,
    unit: 'mm',
    plausible: [0, 5],
    meaning: 'least wall of the crown round the access channel',
    source: 'habit of laboratories for zirconia, no agreed published figure (from memory)',
  },
]
