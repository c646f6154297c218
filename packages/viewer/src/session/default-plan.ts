import {
  add,
  along,
  cross,
  fromFrame,
  isPosterior,
  isUpper,
  normalize,
  type Plan,
  toRows,
  type Vec3,
} from '@alveometer/core'

/** What a plan needs to know about a scan to start from its middle. */
export interface ScanPlace {
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly fingerprint: string
  /** Middle of the scan, LPS mm. */
  readonly centre: Vec3
}

/** Direction facially along the arch, degrees from straight ahead; a rough arch, to start from and then to drag. */
const facialTurnDeg = [0, 8, 25, 45, 65, 75, 82, 86, 88] as const

/**
 * A plan to start from where there is none: a fixture 3.75 x 10 mm in the middle of the scan along the head's
 * vertical, 3 mm below the cervical plane of a crown upright above it.
 */
export function defaultPlan(place: ScanPlace, tooth = '11'): Plan {
  const apical: Vec3 = [0, 0, isUpper(tooth) ? 1 : -1]
  const coronal: Vec3 = [0, 0, -apical[2]]
  const rightSide = ['1', '4', '5', '8'].includes(tooth[0] ?? '')
  const turn = ((facialTurnDeg[Number(tooth[1])] ?? 0) * Math.PI) / 180
  const facial = normalize([(rightSide ? -1 : 1) * Math.sin(turn), -Math.cos(turn), 0])
  const platform = along(place.centre, apical, -5)
  const cervical = along(platform, apical, -3)
  // A front tooth's crown lies a little facial of its root.
  const crownAt = isPosterior(tooth) ? cervical : add(cervical, facial)
  return {
    schema: 'alveometer-plan',
    version: 1,
    scan: {
      seriesUid: place.seriesUid,
      frameOfReferenceUid: place.frameOfReferenceUid,
      fingerprint: place.fingerprint,
    },
    site: { tooth, facial, coronal },
    crown: {
      kind: 'tabulated',
      tooth,
      pose: toRows(fromFrame(facial, cross(apical, facial), apical, crownAt)),
    },
    fixture: { shape: { kind: 'cylinder', diameterMm: 3.75, lengthMm: 10 }, platform, apical },
    structures: [],
    limits: {},
  }
}
