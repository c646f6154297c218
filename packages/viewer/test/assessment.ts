import type { Assessment, CellDensity, PartDensity, RegionMargin, SectorMargin } from '@alveometer/core'
import { madeUpCrownParts } from './crown-parts.js'

const depthsMm = [0, 2.5, 5, 7.5, 10]
const anglesDeg = Array.from({ length: 12 }, (_, n) => 30 * n)
const cell: CellDensity = {
  mean: 612,
  sd: 200,
  p5: 140,
  median: 550,
  p95: 1220,
  boneMean: 700,
  boneShare: 0.9,
  noDataShare: 0,
  volumeMm3: 60,
  samples: 1000,
  hu: null,
  boneHu: null,
}
const levels = { coronal: cell, middle: cell, apical: null }
const part: PartDensity = {
  ...cell,
  levels,
  sectors: { facial: { ...cell, levels }, mesial: null, palatal: { ...cell, levels } },
  cortical: { ...cell, mean: 1410 },
  cancellous: { ...cell, mean: 480 },
  split: 'grey',
  plateShare: 0,
  profile: depthsMm.map((depthMm, n) =>
    n === 4
      ? { depthMm, mean: null, median: null, p5: null, p95: null, boneMean: null }
      : { depthMm, mean: 612 - 40 * n, median: 550, p5: 140, p95: 1220, boneMean: 700 },
  ),
}

const region = (told: Partial<RegionMargin>): RegionMargin => ({
  minimumMm: 2,
  meanMm: 2,
  halfWidthMm: 0.08,
  belowLimitShare: 0,
  belowLimitMm2: 0,
  limitMm: 1,
  rays: 15,
  openRays: 0,
  cortexMeanMm: null,
  cortexMinimumMm: null,
  thinRays: 0,
  ...told,
})

/** A sector that is the same at every level. */
const sector = (told: Partial<RegionMargin>): SectorMargin => {
  const level = region({ ...told, rays: 5 })
  return { ...region(told), levels: { coronal: level, middle: level, apical: level } }
}

/** Made up to be told apart on the page: 0.62 mm facially, 2 mm elsewhere, nothing mesially. */
export const madeUpAssessment: Assessment = {
  schema: 'alveometer-assessment',
  version: 1,
  scan: {
    seriesUid: '2.25.1',
    frameOfReferenceUid: '2.25.2',
    fingerprint: 'made up',
    spacingMm: [0.2, 0.2, 0.2],
    unit: 'grey value',
    remarks: [],
  },
  exit: {
    class: 'facial',
    point: [0, -1.31, -8],
    offsetMm: 2.31,
    exitHeightMm: 11,
    exitDistanceMm: 11,
    region: 'facial',
    tiltDeg: 0,
    tiltFacialDeg: 0,
    tiltMesialDeg: 0,
    channel: null,
  },
  ...madeUpCrownParts,
  margin: {
    mode: 'fast',
    depthsMm,
    anglesDeg,
    radialMm: depthsMm.map(() => anglesDeg.map((a) => (a === 0 ? 0.62 : a === 90 ? null : 2))),
    state: depthsMm.map(() => anglesDeg.map((a) => (a === 90 ? 'no-surface' : 'bone'))),
    minimum: { radialMm: 0.62, nearestMm: 0.6, depthMm: 2.5, angleDeg: 0, uncertaintyMm: 0.12 },
    halfWidthMm: depthsMm.map(() => anglesDeg.map((a) => (a === 90 ? null : 0.08))),
    flags: depthsMm.map(() => anglesDeg.map(() => [])),
    cortexMm: null,
    cortexHalfWidthMm: null,
    blurMm: null,
    nearestMm: null,
    sectors: {
      facial: sector({ minimumMm: 0.62, meanMm: 1.5, belowLimitShare: 0.3, belowLimitMm2: 9.4 }),
      mesial: sector({
        minimumMm: null,
        meanMm: null,
        halfWidthMm: null,
        belowLimitShare: null,
        openRays: 4,
      }),
      palatal: sector({ minimumMm: 2, meanMm: 2 }),
      distal: sector({ minimumMm: 2, meanMm: 2 }),
    },
    levels: {
      coronal: region({ rays: 24, minimumMm: 0.62, belowLimitShare: 0.1, belowLimitMm2: 3.1 }),
      middle: region({ rays: 12 }),
      apical: region({ rays: 24 }),
    },
    dehiscences: [
      {
        areaMm2: 2.1,
        fromMm: 0,
        toMm: 1.5,
        heightMm: 1.5,
        widthMm: 1.8,
        angleDeg: 0,
        sector: 'facial',
        open: false,
      },
    ],
    fenestrations: [],
    dehiscenceMm: 1.5,
    fenestrationMm2: 0,
    exposureOpen: false,
    exposureRange: {
      shiftMm: 0.12,
      dehiscenceMm: [1.2, 1.8],
      bareMm2: [1.6, 2.8],
      inBoneShare: [0.978, 0.987],
    },
    inBone: { areaMm2: 123.6, share: 0.983, ofMm2: 125.7 },
    aboveApexMm: null,
    interval: { floorMm: 0.1, why: 'At least \u00b1 0.10 mm is shown.' },
  },
  graft: null,
  graftNeeded: null,
  density: {
    unit: 'grey value',
    calibrated: null,
    core: part,
    shell: part,
    noDataShare: { core: 0, shell: 0 },
    bands: null,
  },
  calibration: {
    softGrey: 70,
    cortexGrey: 2000,
    psfSigmaMm: 0.2,
    noiseSd: 60,
    noiseCorrelation: 0,
    discRadiusMm: 0.5,
    profileNoise: { stepMm: 0.1, covariance: [400, 300, 100] },
    thickCortex: true,
    sites: 400,
  },
  findings: [
    { code: 'met-one', level: 'met', text: 'Met.', value: 2, limit: 1, unit: 'mm', source: 'Somebody 2000' },
    {
      code: 'low-one',
      level: 'below',
      text: 'Too little.',
      value: 0.62,
      limit: 1,
      unit: 'mm',
      source: 'Somebody 2001',
    },
  ],
  cautions: [],
}
