import { fromFrame, type Plan, toRows } from '../src/index.js'

/** Tooth 11 over an upright fixture at the origin: facial +x, apical +z, crown 3.5 mm coronal of the platform. */
export const uprightPlan = (change: Partial<Plan> = {}): Plan => ({
  schema: 'alveometer-plan',
  version: 1,
  scan: { seriesUid: '', frameOfReferenceUid: '' },
  site: { tooth: '11', facial: [1, 0, 0], coronal: [0, 0, -1] },
  crown: {
    kind: 'tabulated',
    tooth: '11',
    pose: toRows(fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, -3.5])),
  },
  fixture: {
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
    platform: [0, 0, 0],
    apical: [0, 0, 1],
  },
  structures: [],
  limits: {},
  ...change,
})

/** The direction towards the apex of a fixture whose channel runs tilted by these angles, degrees. */
export function apicalFor(facialDeg: number, plusYDeg = 0): [number, number, number] {
  const x = -Math.tan((facialDeg * Math.PI) / 180)
  const y = -Math.tan((plusYDeg * Math.PI) / 180)
  const size = Math.hypot(x, y, 1)
  return [x / size, y / size, 1 / size]
}
