import type { Assessment, DensityStatistics } from '@alveometer/core'

const depthsMm = [0, 2.5, 5, 7.5, 10]
const anglesDeg = Array.from({ length: 12 }, (_, n) => 30 * n)
const statistics: DensityStatistics = {
  mean: 612,
  sd: 200,
  p5: 140,
  median: 550,
  p95: 1220,
  boneMean: 700,
  boneShare: 0.9,
  samples: 1000,
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
    correctionDeg: 14.2,
    exitHeightMm: 11,
    exitDistanceMm: 11,
    region: 'facial',
    tiltDeg: 0,
    tiltFacialDeg: 0,
    tiltMesialDeg: 0,
    channel: null,
    pivot: null,
    target: null,
  },
  margin: {
    mode: 'fast',
    depthsMm,
    anglesDeg,
    radialMm: depthsMm.map(() => anglesDeg.map((a) => (a === 0 ? 0.62 : a === 90 ? null : 2))),
    state: depthsMm.map(() => anglesDeg.map((a) => (a === 90 ? 'no-surface' : 'bone'))),
    minimum: { radialMm: 0.62, nearestMm: 0.6, depthMm: 2.5, angleDeg: 0, uncertaintyMm: 0.12 },
    sectors: {
      facial: { minimumMm: 0.62, meanMm: 1.5, belowLimitShare: 0.3, limitMm: 1, rays: 15, openRays: 0 },
      mesial: { minimumMm: null, meanMm: null, belowLimitShare: null, limitMm: 1, rays: 15, openRays: 4 },
      palatal: { minimumMm: 2, meanMm: 2, belowLimitShare: 0, limitMm: 1, rays: 15, openRays: 0 },
      distal: { minimumMm: 2, meanMm: 2, belowLimitShare: 0, limitMm: 1, rays: 15, openRays: 0 },
    },
    dehiscenceMm: 1.5,
    fenestrationMm2: 0,
    exposureOpen: false,
  },
  density: {
    unit: 'grey value',
    core: statistics,
    shell: statistics,
    noDataShare: { core: 0, shell: 0 },
    byLevel: { coronal: statistics, middle: statistics, apical: null },
    bySector: { facial: statistics },
  },
  calibration: {
    softGrey: 70,
    cortexGrey: 2000,
    psfSigmaMm: 0.2,
    noiseSd: 60,
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
