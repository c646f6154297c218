import { fromFrame, type Plan, toRows } from '@alveometer/core'

/** Tooth 11 upright: facial = anterior (-y), apical = superior (+z), mesial = left (+x); CEJ at the origin. */
export const uprightPlan: Plan = {
  schema: 'alveometer-plan',
  version: 1,
  scan: { seriesUid: '2.25.1', frameOfReferenceUid: '2.25.2' },
  site: { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] },
  crown: {
    kind: 'tabulated',
    tooth: '11',
    pose: toRows(fromFrame([0, -1, 0], [1, 0, 0], [0, 0, 1], [0, 0, 0])),
  },
  fixture: {
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
    platform: [0, 1, 3],
    apical: [0, 0, 1],
  },
  structures: [],
  limits: {},
}
