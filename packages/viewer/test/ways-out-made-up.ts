import type {
  FixtureShape,
  HeldLimit,
  ImagePlane,
  PlatformAtPose,
  PoseMeasures,
  Vec3,
  WayFound,
  WaysOut,
} from '@alveometer/core'
import type { GreyImage } from '../src/index.js'
import { uprightPlan } from './plan.js'

// All numbers are made up, to be told apart on the page; they belong to no site.

const measures = (told: Partial<PoseMeasures>): PoseMeasures => ({
  sectors: { facial: 1.23, mesial: 2.41, palatal: 1.87, distal: 2.52 },
  radialMm: 1.23,
  nearestMm: 1.17,
  openShare: 0,
  graftMm3: 31,
  class: 'palatal',
  offsetMm: -1.52,
  insideMm: 0.02,
  tiltFacialDeg: 2.3,
  tiltMesialDeg: 0.4,
  correctionDeg: 0,
  clearanceMm: null,
  ...told,
})

const platform: PlatformAtPose = {
  belowMarginMm: 3.4,
  crownHeightMm: 13.9,
  rimOralMm: 0.8,
  steepestDeg: 28,
}

export const held = (
  code: string,
  where: string,
  value: number,
  limit: number,
  reserve: number,
): HeldLimit => ({ code, where, unit: code === 'correctionDeg' ? 'deg' : 'mm', value, limit, reserve })

const lean = (facialDeg: number): Vec3 => {
  const angle = (facialDeg * Math.PI) / 180
  return [0, Math.sin(angle), Math.cos(angle)]
}

const shape: FixtureShape = { kind: 'cylinder', diameterMm: 4, lengthMm: 10 }
const narrow: FixtureShape = { kind: 'cylinder', diameterMm: 3.5, lengthMm: 9 }

const straight: WayFound = {
  way: 'straight',
  exists: false,
  pose: { platform: [0, 2.1, 3.1], apical: lean(1.5) },
  shape,
  objective: { name: 'reserve', value: -0.69, unit: 'mm' },
  measures: measures({
    sectors: { facial: 0.31, mesial: 2.2, palatal: 2.6, distal: 2.3 },
    nearestMm: 0.29,
    graftMm3: 171,
    tiltFacialDeg: 1.5,
  }),
  platform,
  wall: { leastMm: 0.84, closedShare: 1 },
  bendDeg: null,
  held: [
    held('facialMarginMm', 'facial', 0.31, 1, -0.69),
    held('marginMm', 'palatal', 2.6, 1, 1.6),
    held('edgeBandMm', '', -1.5, -1.5, 0),
    held('leastWallMm', '', 0.84, 0.8, 0.04),
  ],
  binding: [],
  conflict: [held('facialMarginMm', 'facial', 0.31, 1, -0.69), held('edgeBandMm', '', -1.5, -1.5, 0)],
  words:
    'A straight channel that leaves behind the edge keeps 0.31 mm of facial bone at most, 0.69 mm less than the limit of 1 mm.',
}

const graft: WayFound = {
  ...straight,
  way: 'straight-graft',
  exists: true,
  objective: { name: 'graft', value: 163, unit: 'mm3' },
  pose: { platform: [0, 2, 3.3], apical: lean(1.1) },
  measures: measures({
    sectors: { facial: 0.37, mesial: 2.2, palatal: 2.5, distal: 2.3 },
    nearestMm: 0.35,
    graftMm3: 163,
    tiltFacialDeg: 1.1,
  }),
  held: [held('edgeBandMm', '', -1.5, -1.5, 0), held('leastWallMm', '', 0.82, 0.8, 0.02)],
  binding: [held('edgeBandMm', '', -1.5, -1.5, 0), held('leastWallMm', '', 0.82, 0.8, 0.02)],
  conflict: [],
  words: 'With 163 mm³ of graft a straight channel leaves behind the edge.',
}

const angled: WayFound = {
  ...straight,
  way: 'angled',
  exists: true,
  objective: { name: 'bend', value: 14.2, unit: 'deg' },
  pose: { platform: [0, 1.1, 3.2], apical: lean(12.4) },
  measures: measures({
    sectors: { facial: 1.1, mesial: 2.4, palatal: 1.11, distal: 2.5 },
    nearestMm: 1.1,
    graftMm3: 44,
    class: 'facial',
    offsetMm: 1.66,
    insideMm: -3.16,
    tiltFacialDeg: 12.4,
    tiltMesialDeg: -1.2,
    correctionDeg: 14.2,
  }),
  bendDeg: 14.2,
  held: [
    held('facialMarginMm', 'facial', 1.1, 1, 0.1),
    held('marginMm', 'palatal', 1.11, 1, 0.11),
    held('correctionDeg', '', 14.2, 25, 10.8),
  ],
  binding: [held('facialMarginMm', 'facial', 1.1, 1, 0.1), held('marginMm', 'palatal', 1.11, 1, 0.11)],
  conflict: [],
  words:
    'A bend of 14.2° brings the exit behind the edge; bone is used up to its limits facially and palatally.',
}

const cemented: WayFound = {
  ...angled,
  way: 'cemented',
  objective: { name: 'reserve', value: 0.22, unit: 'mm' },
  pose: { platform: [0, 1.2, 3.5], apical: lean(14.6) },
  measures: {
    ...angled.measures,
    sectors: { ...angled.measures.sectors, facial: 1.22 },
    nearestMm: 1.21,
    tiltFacialDeg: 14.6,
    offsetMm: 2.31,
  },
  bendDeg: null,
  held: [
    held('facialMarginMm', 'facial', 1.22, 1, 0.22),
    held('marginMm', 'nearest', 1.21, 1, 0.21),
    held('crownHeightCementMm', '', 13.9, 7, 6.9),
  ],
  binding: [held('marginMm', 'nearest', 1.21, 1, 0.21)],
  words: 'A cemented crown leaves 0.22 mm of bone to spare.',
}

export const madeUpWays = (told: Partial<WaysOut> = {}): WaysOut => ({
  schema: 'alveometer-ways-out',
  version: 1,
  tooth: '11',
  ways: [straight, graft, angled, cemented],
  present: {
    pose: { platform: uprightPlan.fixture.platform, apical: uprightPlan.fixture.apical },
    shape: uprightPlan.fixture.shape,
    measures: measures({
      sectors: { facial: 0.62, mesial: 2.4, palatal: 1.9, distal: 2.5 },
      nearestMm: 0.6,
      graftMm3: 118,
      class: 'incisal',
      offsetMm: -0.34,
      insideMm: -1.16,
      tiltFacialDeg: 4,
      tiltMesialDeg: 0,
      correctionDeg: 7.8,
    }),
  },
  shapes: [shape],
  inHandMm: 0.1,
  uncertaintyMm: 0.2,
  measured: 18240,
  complete: true,
  cautions: [],
  ...told,
})

/** Several sizes were searched, the narrow one was taken for the angled way. */
export const madeUpSizes = (): WaysOut => {
  const ways = madeUpWays()
  return {
    ...ways,
    shapes: [shape, narrow],
    ways: ways.ways.map((found) => (found.way === 'angled' ? { ...found, shape: narrow } : found)),
  }
}

/** A ridge of two plates with spongy bone between, leaning, on soft tissue. */
export function madeUpPicture({ origin, du, dv, width, height }: ImagePlane): GreyImage {
  const pixels = new Float32Array(width * height)
  for (let row = 0; row < height; row++)
    for (let column = 0; column < width; column++) {
      const y = origin[1] + column * du[1] + row * dv[1]
      const z = origin[2] + column * du[2] + row * dv[2]
      const middle = 1.2 + 0.18 * (z - 3)
      const half = 3.2 + 0.12 * (z - 3)
      const inside = half - Math.abs(y - middle)
      const grain = 160 * Math.sin(3.1 * y + z) * Math.sin(2.7 * z - y)
      const grey =
        z < 2.2 ? -1000 : inside < 0 ? (inside > -2 ? 60 : -1000) : inside < 0.9 ? 1700 : 500 + grain
      pixels[row * width + column] = grey
    }
  return { pixels, width, height }
}
