import {
  add,
  along,
  column,
  isPosterior,
  isUpper,
  normalize,
  type Plan,
  type Site,
  startingCrownPose,
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
/** Platform below the cervical plane, mm: the middle of what is wanted below the margin, 3 to 4 (Buser 2004, from memory). */
const depthMm = 3
/** Half of the starting fixture's length, mm. */
const halfMm = 5

/**
 * A plan to start from where there is none: a crown that stands as its tooth does on the mean, and a fixture 3.75 x 10 mm
 * along the crown's axis with its middle in the middle of the scan, its platform 3 mm below the cervical plane.
 */
export function defaultPlan(place: ScanPlace, tooth = '11'): Plan {
  const rightSide = ['1', '4', '5', '8'].includes(tooth[0] ?? '')
  const turn = ((facialTurnDeg[Number(tooth[1])] ?? 0) * Math.PI) / 180
  const facial = normalize([(rightSide ? -1 : 1) * Math.sin(turn), -Math.cos(turn), 0])
  const site: Site = { tooth, facial, coronal: [0, 0, isUpper(tooth) ? -1 : 1] }
  const apical = column(startingCrownPose(site, place.centre), 2)
  const platform = along(place.centre, apical, -halfMm)
  const cervical = along(platform, apical, -depthMm)
  // A front tooth's crown lies a little facial of its root.
  const crownAt = isPosterior(tooth) ? cervical : add(cervical, site.facial)
  return {
    schema: 'alveometer-plan',
    version: 1,
    scan: {
      seriesUid: place.seriesUid,
      frameOfReferenceUid: place.frameOfReferenceUid,
      fingerprint: place.fingerprint,
    },
    site,
    crown: { kind: 'tabulated', tooth, pose: toRows(startingCrownPose(site, crownAt)) },
    fixture: { shape: { kind: 'cylinder', diameterMm: 3.75, lengthMm: 2 * halfMm }, platform, apical },
    structures: [],
    limits: {},
  }
}
