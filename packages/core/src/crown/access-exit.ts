import type { Mat4, Vec3 } from '../space/index.js'
import {
  along,
  angleDeg,
  column,
  cross,
  dot,
  invert,
  normalize,
  scale,
  transformDirection,
  transformPoint,
} from '../space/index.js'
import { facing, meshTree, type Passage, passageThrough } from '../space/mesh-tree.js'
import type { Crown, CrownRegion } from './crown.js'
import { edgeAt } from './crown.js'
import type { Site } from './site.js'
import { isPosterior, oralSide, plusYSide } from './tooth.js'

/** Where the access channel leaves the crown. */
export type ExitClass = 'palatal' | 'lingual' | 'incisal' | 'occlusal' | 'facial'

export interface ExitResult {
  /** Null when the channel does not meet the crown. */
  readonly class: ExitClass | null
  /** LPS mm; null when the channel does not meet the crown. */
  readonly point: Vec3 | null
  /** Orofacial distance from the incisal-edge line (central groove on posterior teeth), facial positive, mm. */
  readonly offsetMm: number | null
  /** From the platform to the exit, measured along the crown's long axis, mm. */
  readonly exitHeightMm: number | null
  /** From the platform to the exit, measured along the fixture axis, mm. */
  readonly exitDistanceMm: number | null
  /** The face of the crown the channel leaves by. */
  readonly region: CrownRegion | null
  /** Fixture axis against the crown's long axis, degrees: in all, and its facial and mesial parts. */
  readonly tiltDeg: number
  readonly tiltFacialDeg: number
  readonly tiltMesialDeg: number
  /** The channel inside the crown, LPS mm. `entry` is the platform when that lies inside the crown. */
  readonly channel: { readonly entry: Vec3; readonly exit: Vec3 } | null
}

export interface ExitLimits {
  /** Half width of the incisal band, mm. 1.5: Gonzalez-Martin and Veltri 2021. */
  readonly edgeBandMm: number
  /** Height of the bend above the platform along the crown's long axis, mm. 2 to 4 in usual components. */
  readonly bendPivotMm: number
  /** How far behind the incisal edge the exit is wanted, mm. 1.5: Gonzalez-Martin and Veltri 2021. */
  readonly wantedPalatalMm: number
}

export const EXIT_LIMITS: ExitLimits = { edgeBandMm: 1.5, bendPivotMm: 3, wantedPalatalMm: 1.5 }

/** An exit on the facial face further apical of the edge than this is a facial exit whatever its offset, mm. Own choice. */
export const EDGE_HEIGHT_MM = 1

export interface ExitQuestion {
  readonly crown: Crown
  /** Crown frame to LPS mm, without scale or mirror. */
  readonly pose: Mat4
  readonly fixture: { readonly platform: Vec3; readonly apical: Vec3 }
  readonly site: Site
  readonly limits?: Partial<ExitLimits>
}

/**
 * Follows the fixture axis coronally from the platform and tells where it leaves the crown for the last time.
 *
 * Class, anterior teeth: `palatal` (upper) or `lingual` (lower) from edgeBandMm oral of the incisal-edge line on;
 * `facial` from edgeBandMm facial of it on, and also wherever the exit lies on the facial face more than 1 mm apical
 * of the edge; `incisal` between. Posterior teeth: `occlusal` inside the occlusal table, else the side of the
 * central groove it lies on. The edge line is taken at the exit's own mesiodistal position.
 *
 * @throws RangeError when the pose has scale, shear or a mirror, the axis no length, or the crown is another tooth.
 */
export function accessExit({ crown, pose, fixture, site, limits }: ExitQuestion): ExitResult {
  const { edgeBandMm } = { ...EXIT_LIMITS, ...limits }
  const { platform, coronal } = fixtureLine({ crown, pose, fixture, site })

  const passage = passageThrough(meshTree(crown.mesh), platform, coronal)
  const last = passage?.last
  const exit = last ? along(platform, coronal, last.distance) : null
  const region = last ? crown.regions[last.triangle] : null
  const place = exit && region ? exitPlace(crown, exit, region, edgeBandMm) : null
  const point = exit ? transformPoint(pose, exit) : null

  return {
    class: place?.class ?? null,
    point,
    offsetMm: place?.offsetMm ?? null,
    exitHeightMm: exit ? platform[2] - exit[2] : null,
    exitDistanceMm: last ? last.distance : null,
    region,
    tiltDeg: angleDeg(coronal, [0, 0, -1]),
    ...tiltsOf(coronal, plusYSide(crown.tooth) === 'mesial' ? 1 : -1),
    channel: passage && point ? { entry: entryOf(passage), exit: point } : null,
  }

  function entryOf({ first }: Passage): Vec3 {
    const beginsInside = facing(crown.mesh, first.triangle, coronal) >= 0
    return beginsInside ? fixture.platform : transformPoint(pose, along(platform, coronal, first.distance))
  }
}

/** The facial and the mesial part of a coronal direction's angle to the crown's long axis; the sign says where +y is mesial. */
export const tiltsOf = (
  coronal: Vec3,
  mesialSign: 1 | -1,
): Pick<ExitResult, 'tiltFacialDeg' | 'tiltMesialDeg'> => ({
  tiltFacialDeg: degrees(Math.atan2(coronal[0], -coronal[2])),
  tiltMesialDeg: degrees(Math.atan2(mesialSign * coronal[1], -coronal[2])),
})

const degrees = (radians: number): number => (radians * 180) / Math.PI

/** A fixture's line in the crown frame: the platform, and the unit vector along the axis away from the apex. */
export interface FixtureLine {
  readonly platform: Vec3
  readonly coronal: Vec3
}

/** @throws RangeError when the pose has scale, shear or a mirror, the axis no length, or the crown is another tooth. */
export function fixtureLine({ crown, pose, fixture, site }: Omit<ExitQuestion, 'limits'>): FixtureLine {
  return lineIn(worldToCrown({ crown, pose, site }), fixture.platform, fixture.apical)
}

/**
 * LPS mm to the crown frame.
 * @throws RangeError when the pose has scale, shear or a mirror, or the crown is another tooth.
 */
export function worldToCrown({ crown, pose, site }: Omit<ExitQuestion, 'limits' | 'fixture'>): Mat4 {
  if (site.tooth !== crown.tooth)
    throw new RangeError(`the crown is tooth ${crown.tooth} but the site is tooth ${site.tooth}: choose one`)
  checkRigid(pose)
  return invert(pose)
}

/** @throws RangeError when the axis has no length. */
export const lineIn = (toCrown: Mat4, platform: Vec3, apical: Vec3): FixtureLine => ({
  platform: transformPoint(toCrown, platform),
  coronal: scale(normalize(transformDirection(toCrown, apical)), -1),
})

/** Class and orofacial offset of an exit at a point of the crown frame, on a face: the rules of `accessExit`. */
export function exitPlace(
  crown: Crown,
  exit: Vec3,
  region: CrownRegion,
  edgeBandMm: number,
): { readonly class: ExitClass; readonly offsetMm: number } {
  const edge = edgeAt(crown, exit[1])
  const offsetMm = exit[0] - edge[0]
  const onFacialFace = region === 'facial' && exit[2] - edge[2] > EDGE_HEIGHT_MM
  return {
    class: isPosterior(crown.tooth)
      ? occlusalClass(crown, exit, offsetMm)
      : incisalClass(crown, offsetMm, edgeBandMm, onFacialFace),
    offsetMm,
  }
}

/** Where an exit is wanted: behind the edge on anterior teeth, in the occlusal table on posterior ones. */
export const wantedClass = (crown: Crown): ExitClass =>
  isPosterior(crown.tooth) ? 'occlusal' : oralSide(crown.tooth)

function incisalClass(crown: Crown, offsetMm: number, bandMm: number, onFacialFace: boolean): ExitClass {
  if (onFacialFace || offsetMm >= bandMm) return 'facial'
  return offsetMm <= -bandMm ? oralSide(crown.tooth) : 'incisal'
}

function occlusalClass(crown: Crown, exit: Vec3, offsetMm: number): ExitClass {
  if (crown.occlusalTable && inside(crown.occlusalTable, exit[0], exit[1])) return 'occlusal'
  return offsetMm >= 0 ? 'facial' : oralSide(crown.tooth)
}

/** Whether a point lies in a polygon: even-odd rule. */
export function inside(polygon: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let within = false
  let p = polygon[polygon.length - 1]
  for (let i = 0; i < polygon.length; i++) {
    const q = polygon[i]
    if (q[1] > y !== p[1] > y && x < q[0] + ((y - q[1]) / (p[1] - q[1])) * (p[0] - q[0])) within = !within
    p = q
  }
  return within
}

function checkRigid(pose: Mat4): void {
  const x = column(pose, 0)
  const y = column(pose, 1)
  const z = column(pose, 2)
  const off = [dot(x, x) - 1, dot(y, y) - 1, dot(z, z) - 1, dot(x, y), dot(y, z), dot(z, x)]
  if (!off.every((d) => Math.abs(d) < 1e-4) || dot(cross(x, y), z) < 0)
    throw new RangeError("the crown's pose must turn and move it only: it has scale, shear or a mirror")
}
