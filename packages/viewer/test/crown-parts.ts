import type {
  AccessChannel,
  AngledChannel,
  ChannelWall,
  Emergence,
  EmergenceProfile,
  RetentionFinding,
  Vec3,
} from '@alveometer/core'

// What a made-up assessment tells of the crown: facial = -y, apical = +z, mesial = +x, cervical centre at the origin.

/** Points of a circle round the upright axis, LPS mm. */
const circle = (centre: Vec3, radiusMm: number): Vec3[] =>
  Array.from({ length: 24 }, (_, n) => {
    const angle = (2 * Math.PI * n) / 24
    return [centre[0] + radiusMm * Math.sin(angle), centre[1] - radiusMm * Math.cos(angle), centre[2]]
  })

/** Thinnest facially, 0.42 mm; nothing of the oral face. */
const wall: ChannelWall = {
  mm: 0.42,
  at: [0, -2.88, -7],
  region: 'facial',
  bySide: {
    facial: { mm: 0.42, at: [0, -2.88, -7] },
    oral: null,
    mesial: { mm: 2.1, at: [3.25, -1.31, -7] },
    distal: { mm: 2.2, at: [-3.35, -1.31, -7] },
    edge: { mm: 1.2, at: [0, -0.6, -10.2] },
  },
  toEdge: { mm: 1.3, at: [0, -0.6, -10.5] },
  toMesialContact: { mm: 2.6, at: [4.2, 0, -9] },
  toDistalContact: { mm: 2.7, at: [-4.2, 0, -7.4] },
}

const channel: AccessChannel = {
  diameterMm: 2.3,
  outline: circle([0, -1.31, -8], 1.15),
  closedShare: 1,
  areaMm2: 4.6,
  centroid: [0, -1.31, -8],
  wall,
}

const angled: AngledChannel = {
  pivot: [0, 1, 0],
  limitDeg: 25,
  least: { correctionDeg: 14.2, exit: [0, 0.9, -10], wall: { ...wall, mm: 0.61 } },
  leastWithWall: { correctionDeg: 16.8, exit: [0, 1.4, -9.4], wall: { ...wall, mm: 0.8 } },
  reachable: circle([0, -1.31, -9], 4.2),
}

const SIDES: readonly EmergenceProfile['side'][] = [
  'facial',
  'mesiofacial',
  'mesial',
  'mesio-oral',
  'oral',
  'disto-oral',
  'distal',
  'distofacial',
]

/** Steepest facially, 33.7 degrees. */
const emergence: Emergence = {
  zenith: [0, -3, 0],
  belowMarginMm: 3,
  belowMesialCejMm: 2.4,
  belowDistalCejMm: null,
  crownHeightMm: 13.5,
  profile: circle([0, 1, 3], 2)
    .filter((_, n) => n % 3 === 0)
    .map((rim, n) => ({
      angleDeg: 45 * n,
      side: SIDES[n],
      emergenceDeg: [33.7, 29, 14, 8, 0.5, 9, 16, 30][n],
      rim,
      margin: circle([0, 0, 0], 3)[3 * n],
    })),
  rimOralOfEmergenceMm: 2,
}

/** One of each verdict. */
const retention: readonly RetentionFinding[] = [
  {
    way: 'screw-straight',
    verdict: 'closed',
    because: [
      {
        verdict: 'closed',
        text: 'The straight channel leaves 2.31 mm facial of the incisal edge; wanted 1.5 mm palatal of it.',
        source: 'Somebody 2003',
      },
    ],
    for: [{ text: 'It can be unscrewed.', source: 'Somebody 2004' }],
    against: [{ text: 'It leaves a hole.', source: 'Somebody 2005' }],
  },
  {
    way: 'screw-angled',
    verdict: 'open',
    because: [
      { verdict: 'open', text: 'A bend of 16.8 deg is needed; at most 25 deg.', source: 'Somebody 2006' },
    ],
    for: [{ text: 'The hole moves behind.', source: 'Somebody 2007' }],
    against: [{ text: 'Long-term evidence is lacking.', source: 'Somebody 2008' }],
  },
  {
    way: 'cemented',
    verdict: 'reserve',
    because: [
      {
        verdict: 'reserve',
        text: 'The platform lies 3.00 mm below the margin; wanted at most 2 mm.',
        source: 'Somebody 2009',
      },
    ],
    for: [{ text: 'Any axis will do.', source: 'Somebody 2010' }],
    against: [{ text: 'Cement may stay behind.', source: 'Somebody 2011' }],
  },
]

/** The parts of a made-up assessment that tell of the crown. */
export const madeUpCrownParts = { channel, angled, emergence, retention }
