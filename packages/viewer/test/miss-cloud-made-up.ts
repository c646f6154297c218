import { freehandError, guidedError, type MissCloud, type MissedLimit } from '@alveometer/core'

// All numbers are made up, to be told apart on the page; they belong to no site.

/** A limit whose value spreads normally: 24 bins over 2.6 standard deviations either way. */
function spread(
  told: Pick<MissedLimit, 'code' | 'where' | 'limit' | 'side' | 'holds' | 'firstShare'> & {
    readonly unit?: MissedLimit['unit']
    readonly unmeasured?: number
  },
  planned: number,
  sd: number,
): MissedLimit {
  const width = (5.2 * sd) / 24
  const from = planned - 2.6 * sd
  return {
    unit: 'mm',
    unmeasured: 0,
    ...told,
    planned,
    counted: true,
    holdsHalfWidth: 0.0089,
    percentiles: {
      p5: planned - 1.645 * sd,
      p25: planned - 0.674 * sd,
      p50: planned,
      p75: planned + 0.674 * sd,
      p95: planned + 1.645 * sd,
    },
    histogram: {
      from,
      width,
      counts: Array.from({ length: 24 }, (_, n) => {
        const z = (from + (n + 0.5) * width - planned) / sd
        return Math.round(1000 * Math.exp((-z * z) / 2))
      }),
    },
  }
}

export const madeUpCloud = (told: Partial<MissCloud> = {}): MissCloud => ({
  schema: 'alveometer-miss-cloud',
  version: 1,
  tooth: '11',
  way: 'straight',
  error: guidedError(),
  surfaceSdMm: 0.1,
  counted: 'all',
  draws: 10000,
  seed: 1,
  limits: [
    spread(
      { code: 'facialMarginMm', where: 'facial', limit: 1, side: 'least', holds: 0.638, firstShare: 0.62 },
      1.23,
      0.65,
    ),
    spread(
      { code: 'marginMm', where: 'nearest', limit: 1, side: 'least', holds: 0.751, firstShare: 0.21 },
      1.17,
      0.24,
    ),
    spread(
      { code: 'edgeBandMm', where: '', limit: -1.5, side: 'greatest', holds: 0.83, firstShare: 0.17 },
      -2.4,
      0.95,
    ),
    spread(
      {
        code: 'correctionDeg',
        where: '',
        unit: 'deg',
        limit: 25,
        side: 'greatest',
        holds: 0.997,
        firstShare: 0,
        unmeasured: 12,
      },
      14.2,
      4,
    ),
    spread(
      { code: 'platformDepthLeastMm', where: '', limit: 3, side: 'least', holds: 1, firstShare: 0 },
      9.4,
      0.75,
    ),
  ],
  allHold: { share: 0.571, halfWidth: 0.0097 },
  missed: {
    entryMm: { p5: 0.3, p25: 0.7, p50: 1.16, p75: 1.5, p95: 2.1 },
    apexMm: { p5: 0.3, p25: 0.8, p50: 1.32, p75: 1.8, p95: 2.5 },
    angleDeg: { p5: 0.6, p25: 2, p50: 3.3, p75: 4.6, p95: 6.8 },
  },
  poses: Array.from({ length: 60 }, (_, n) => ({
    platform: [0.4 * Math.sin(n), 1 + 0.6 * Math.sin(2.1 * n), 3 + 0.5 * Math.cos(1.3 * n)],
    apical: [0.04 * Math.cos(3 * n), 0.05 * Math.sin(1.7 * n), 1],
    holds: Math.sin(2.1 * n) > -0.2,
  })),
  tolerable: {
    scale: 0.34,
    entrySdMm: { facial: 0.256, mesial: 0.256, apical: 0.256 },
    tiltSdDeg: 0.95,
    atLeast: false,
  },
  allHoldStill: 0.993,
  complete: true,
  cautions: [],
  ...told,
})

export const madeUpFreehand = (): MissCloud =>
  madeUpCloud({
    error: freehandError(),
    way: 'angled',
    allHold: { share: 0.082, halfWidth: 0.0054 },
    tolerable: null,
    allHoldStill: 0.71,
    cautions: ['The wall round the channel is not held here.'],
  })
