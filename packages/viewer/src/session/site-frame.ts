import {
  cross,
  dot,
  fromRows,
  type Mat4,
  multiply,
  normalize,
  type Plan,
  perpendicularTo,
  plusYSide,
  type Site,
  scale,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'

/**
 * The directions of a site, all unit vectors in LPS and perpendicular to each other. `mesial` is +y or -y of the
 * right-handed frame (facial, y, apical), depending on the quadrant.
 */
export interface SiteDirections {
  readonly facial: Vec3
  readonly mesial: Vec3
  readonly apical: Vec3
}

export interface SiteFrame extends SiteDirections {
  /** The crown's cervical centre: what typed offsets are counted from. */
  readonly origin: WorldPoint
}

/** Which way mesial lies along +y = apical x facial. */
export const mesialSign = (tooth: string): 1 | -1 => (plusYSide(tooth) === 'mesial' ? 1 : -1)

/**
 * The frame that typed tilts and offsets are counted in: the planned crown's own, so that they agree with the exit's.
 * A mesh crown whose frame was not found has no long axis of its own; there the site's directions stand in.
 */
export function siteFrame(plan: Plan): SiteFrame {
  const toLps = crownToLps(plan)
  const apical = toLps === null ? scale(normalize(plan.site.coronal), -1) : normalize(column(toLps, 2))
  const facial = perpendicularTo(toLps === null ? plan.site.facial : column(toLps, 0), apical)
  return {
    origin: crownOrigin(plan),
    facial,
    mesial: scale(cross(apical, facial), mesialSign(plan.site.tooth)),
    apical,
  }
}

/** The directions of the site itself, whatever the crown: what the crown's own tilt and place are counted in. */
export function siteDirections({ tooth, coronal, facial: towards }: Site): SiteDirections {
  const apical = scale(normalize(coronal), -1)
  const facial = perpendicularTo(towards, apical)
  return { facial, mesial: scale(cross(apical, facial), mesialSign(tooth)), apical }
}

/** The crown's cervical centre in LPS; of a mesh crown whose frame was not found the origin of its own coordinates. */
export const crownOrigin = (plan: Plan): [number, number, number] =>
  column(crownToLps(plan) ?? fromRows(plan.crown.pose), 3)

/** From the crown frame to LPS; null for a mesh crown whose frame was not found. */
function crownToLps({ crown }: Plan): Mat4 | null {
  const pose = fromRows(crown.pose)
  if (crown.kind === 'tabulated') return pose
  return crown.frame === undefined ? null : multiply(pose, fromRows(crown.frame))
}

const column = (m: Mat4, c: number): [number, number, number] => [
  m[4 * c] ?? 0,
  m[4 * c + 1] ?? 0,
  m[4 * c + 2] ?? 0,
]

/** A vector in LPS as its parts along facial, mesial and apical. */
export const inSite = (site: SiteDirections, v: Vec3): [number, number, number] => [
  dot(v, site.facial),
  dot(v, site.mesial),
  dot(v, site.apical),
]

/** Parts along facial, mesial and apical as a vector in LPS. */
export const fromSite = (site: SiteDirections, [f, m, a]: Vec3): [number, number, number] => [
  site.facial[0] * f + site.mesial[0] * m + site.apical[0] * a,
  site.facial[1] * f + site.mesial[1] * m + site.apical[1] * a,
  site.facial[2] * f + site.mesial[2] * m + site.apical[2] * a,
]

/** A rotation by an angle about a line through a point, as a matrix (Rodrigues 1840). */
export function rotationAbout(point: Vec3, axis: Vec3, angleDeg: number): Mat4 {
  const angle = (angleDeg * Math.PI) / 180
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  const [x, y, z] = axis
  const t = 1 - c
  const r = [
    [t * x * x + c, t * x * y - s * z, t * x * z + s * y],
    [t * x * y + s * z, t * y * y + c, t * y * z - s * x],
    [t * x * z - s * y, t * y * z + s * x, t * z * z + c],
  ] as const
  const shift = r.map((row, n) => (point[n] as number) - dot(row, point))
  return [
    ...[r[0][0], r[1][0], r[2][0], 0],
    ...[r[0][1], r[1][1], r[2][1], 0],
    ...[r[0][2], r[1][2], r[2][2], 0],
    ...[shift[0] as number, shift[1] as number, shift[2] as number, 1],
  ]
}
