import { bars } from '../bars.js'
import type { Findings } from '../findings.js'
import { barTable } from './bar-table.js'
import { densityTable, nearestTable } from './distance-tables.js'
import {
  calibrationTable,
  caseTable,
  coverageTable,
  differenceTable,
  gridTable,
  plateTable,
  thinTable,
  voidTable,
} from './shell-tables.js'
import { leastTable, lostTable, missTable, simulatedTable, unanswerableTable } from './simulated-tables.js'
import { section } from './table.js'

const INTRODUCTION = [
  '# Accuracy',
  '',
  'Written by `npm run accuracy`. `npm run accuracy -- --short` measures two seeds of each case and prints the page;',
  '`npm run accuracy -- --only voids` does one study. Everything follows from seeds, so the numbers are the same everywhere.',
  '',
  '**What these numbers are.** The accuracy of the algorithm on scans whose surfaces are known in closed form, and on two',
  'simulated cone-beam scans. They are not clinical accuracy. In published work on real scans (Timock et al., Am J Orthod',
  'Dentofacial Orthop 2011, 0.3 mm voxels, 65 teeth) facial bone thickness differed from dissection by 0.13 mm on average,',
  'with 95 % limits of -0.32 to +0.38 mm; bone height by 0.30 mm, -0.77 to +0.81 mm. That is why no interval shown to people',
  'is narrower than 0.1 mm or half a voxel.',
  '',
  '**What was not simulated.** Phantoms: metal, scatter, cupping over a jaw, motion, blur that depends on the patient or has',
  'tails, noise that differs from place to place, mineral gradients inside cortex, teeth. Simulated scans: scatter as such,',
  'motion, detector faults, denoising and sharpening by makers; their anatomy is smooth, with even cortical density and no',
  'channels of vessels. Published scans show that motion alone can exceed 0.1 mm.',
  '',
  '**Words.** h voxel, s sigma of the blur, t cortical plate, all mm; n SD of the noise, grey. Cortex 1500, cancellous bone',
  '400 with a texture of SD 100, soft tissue 50 unless said. Errors are measured minus true, mm, + is too far out. p95: 95 % of',
  'the rays are nearer than this. Every scene has a random pose (any rotation, any shift within a voxel) and noise for each',
  'seed, is stored in whole grey values, and is calibrated from itself alone. Rays with more than 6 mm of bone are left out',
  '(7 mm in the simulated scans). Eight seeds a case; four for h 0.1 with noise.',
  '',
]

/** The whole page in Markdown; studies that were not run are left out. */
export function page(found: Findings): string {
  const lines = [
    ...INTRODUCTION,
    ...section(
      'Bars',
      [
        'Refined mode. A bar is met when the worst seed of the worst case keeps it; that of the intervals, which is one for shares of rays, when all seeds of the worst case together do. How long a measurement takes stands in benchmarks.md.',
      ],
      barTable(bars(found, 'refined')),
    ),
    ...section(
      'Voxel, blur and noise: refined',
      [
        'An eccentric cylindrical shell, R 5, plates 0.35 to 2.6 mm; a fixture 4 x 6 mm leaning by 10 degrees, 384 rays.',
      ],
      gridTable(found, 'refined'),
    ),
    ...section('Voxel, blur and noise: fast', [], gridTable(found, 'fast')),
    ...section(
      'What may differ from the usual scene',
      ['The same shell, h 0.2 s 0.25 n 100.'],
      caseTable(found.perturbed),
    ),
    ...section(
      'Correlated noise',
      ['Noise blurred by 0.6 voxel and scaled back to SD 100, texture 150.'],
      caseTable(found.correlated),
    ),
    ...section('Thin plates', ['The shell with plates from 0.18 mm.'], thinTable(found)),
    ...section(
      'Voids: which surface',
      [
        'A ridge of 9 x 15 mm (an ellipse drawn out), facial plate 0.75 mm and oral plate 1.9 mm, texture 150, dark voids (-50) in the marrow; h 0.2 s 0.3 n 100.',
      ],
      voidTable(found),
    ),
    ...section('Calibration', ['Mean and range over the seeds, found minus true.'], calibrationTable(found)),
    ...section(
      'Intervals: refined',
      [
        'Share of rays within their own 95 % interval, in per cent; in brackets the worst seed with at least 50 rays in the bin. Without the floor that people are shown.',
      ],
      coverageTable(found, 'refined'),
    ),
    ...section('Intervals: fast', [], coverageTable(found, 'fast')),
    ...section(
      'Shortest distance',
      [
        'From 2 088 places of the fixture to the outer surface. Ellipse: half axes 4.2 x 7; wedge: a knife edge with 24 degrees to either side; plates 1.6 mm.',
      ],
      nearestTable(found),
    ),
    ...section(
      'Density',
      [
        'Mean grey in the core (R 2 x 10) and the shell 0.5 mm round it against dense quadrature of the field, 12 poses each.',
      ],
      densityTable(found),
    ),
    ...section('Fast minus refined', [], differenceTable(found)),
    ...section('Plate thickness', ['Refined, measured minus true.'], plateTable(found)),
    ...simulatedSections(found),
  ]
  return `${lines.join('\n').trimEnd()}\n`
}

const simulatedSections = (found: Findings): string[] => [
  ...section(
    'Simulated cone-beam scans: refined',
    [
      'Physically simulated scans with exact answers (CC0, ../shared/data/simulated-cbct), h 0.2. Near a tooth: the ray leaves bone within 1.5 mm of a ray that meets a tooth.',
    ],
    simulatedTable(found, 'refined'),
  ),
  ...section('Simulated cone-beam scans: fast', [], simulatedTable(found, 'fast')),
  ...section('Simulated cone-beam scans: the least margin', [], leastTable(found)),
  ...section(
    'Simulated cone-beam scans: rays without a true margin',
    [
      'What a ray meets first there is no outer surface of bone; a number given all the same is that of a surface farther out.',
    ],
    unanswerableTable(found),
  ),
  ...section(
    'Simulated cone-beam scans: misses over 0.3 mm',
    [
      'Refined; worst first, at most 60. To the normal: the angle between the ray and the true normal of the surface; off along it: the error times its cosine.',
    ],
    missTable(found),
  ),
  ...section(
    'Simulated cone-beam scans: rays without a number',
    ['Refined; rays that do leave bone within 7 mm of the fixture.'],
    lostTable(found),
  ),
]
