import type { Assessment, GraftAssessment, GraftedMargin, GraftSize, SectorMargin } from '@alveometer/core'
import { madeUpAssessment } from './assessment.js'

// The made-up assessment with a made-up graft: facially, from the platform down to 7.5 mm, 1.38 mm thick at most, of
// which a quarter is expected to resorb. Facial = -y, apical = +z, platform at [0, 1, 3], radius 2 mm.

const { margin } = madeUpAssessment
const { depthsMm, anglesDeg } = margin

const INNER_MM = 2.62
const OUTER_MM = 4
const KEPT_MM = 3.655

/** A number where the graft is: three facial columns, the first three depths. */
const overGraft = (mm: number): (number | null)[][] =>
  depthsMm.map((depthMm) =>
    anglesDeg.map((angle) => (depthMm <= 5 && (angle <= 30 || angle >= 330) ? mm : null)),
  )

/** In the section plane, mm: from the platform's height down to where the graft runs out on the bone. */
const outline = (outerMm: number): [number, number, number][] => [
  [0, 1 - INNER_MM, 3],
  [0, 1 - outerMm, 3],
  [0, 1 - outerMm, 8],
  [0, 1 - INNER_MM, 10.5],
]

/** The made-up margin with this least facial bone, which nothing leaves bare any more. */
function grafted(facialMm: number): GraftedMargin {
  const facial: SectorMargin = { ...margin.sectors.facial, minimumMm: facialMm, belowLimitShare: 0 }
  return {
    minimum: { radialMm: facialMm, nearestMm: facialMm, depthMm: 0, angleDeg: 0, uncertaintyMm: 0.12 },
    radialMm: margin.radialMm.map((row) => row.map((mm) => (mm === 0.62 ? facialMm : mm))),
    sectors: { ...margin.sectors, facial },
    dehiscences: [],
    fenestrations: [],
    dehiscenceMm: 0,
    fenestrationMm2: 0,
    inBone: { areaMm2: 125.7, share: 1, ofMm2: 125.7 },
  }
}

export const madeUpGraftSize: GraftSize = {
  volumeMm3: 212.4,
  greatestMm: 1.38,
  meanMm: 0.92,
  footprintMm2: 96.3,
  heightMm: 7.5,
}

export const madeUpGraft: GraftAssessment = {
  spec: {
    kind: 'deficit',
    facialMm: 2,
    otherMm: 1.5,
    fromDepthMm: 0,
    natural: true,
    loss: { kind: 'share', share: 0.25 },
    overbuilt: false,
  },
  built: madeUpGraftSize,
  kept: { ...madeUpGraftSize, volumeMm3: 159.3, greatestMm: 1.035, meanMm: 0.69 },
  depthsMm,
  anglesDeg,
  innerMm: overGraft(INNER_MM),
  outerMm: overGraft(OUTER_MM),
  keptMm: overGraft(KEPT_MM),
  outlines: { built: [outline(OUTER_MM)], kept: [outline(KEPT_MM)] },
  after: grafted(2),
  afterLoss: grafted(1.66),
  walls: {
    sides: [
      { side: 'facial', stands: false, share: 0.2 },
      { side: 'oral', stands: true, share: 1 },
      { side: 'mesial', stands: true, share: 0.95 },
      { side: 'distal', stands: true, share: 1 },
    ],
    count: 3,
  },
  openRays: 2,
  cappedMm: 0.21,
  classes: [
    {
      scheme: 'Seibert 1983',
      class: 'I (horizontal)',
      text: 'Would be described as Seibert class I: 1.38 mm is missing facially and nothing in height.',
      source: 'Somebody 2011',
    },
  ],
  timing: {
    simultaneous: [{ text: 'Three of four walls stand.', source: 'Somebody 2012' }],
    staged: [{ text: 'A quarter of the fixture would lie outside bone.', source: 'Somebody 2013' }],
  },
}

/** The made-up assessment with the made-up graft. */
export const graftedAssessment: Assessment = {
  ...madeUpAssessment,
  graft: madeUpGraft,
  graftNeeded: madeUpGraftSize,
}
