import type { Mat4, Vec3 } from '../space/index.js'
import { add, cross, fromFrame, normalize, perpendicularTo, scale } from '../space/index.js'
import { archFacialDeg } from './arch-form.js'
import type { Site } from './site.js'
import { checkTooth, isUpper, placeInQuadrant } from './tooth.js'

/** A published mean of how teeth stand, degrees. */
export interface PublishedNorm {
  /**
   * `long-axis-tilt`: of the tooth's long axis against the vertical, positive where the coronal end leans facially.
   * `crown-inclination`: of the middle of the crown's facial face against the vertical of the occlusal plane,
   * positive where its coronal end leans facially: another quantity than the long axis, since that face is curved.
   */
  readonly what: 'long-axis-tilt' | 'crown-inclination'
  readonly deg: number
  readonly source: string
}

/** How to start with a crown where nothing else is known. */
export interface CrownNorm {
  readonly tooth: string
  /** Facial tilt of the long axis's coronal end against the vertical, degrees. */
  readonly tiltFacialDeg: number
  /** About the long axis from the arch's facial direction at its place, positive where the facial face turns mesially, degrees. */
  readonly rotationDeg: number
  /** The arch's facial direction at its place against straight ahead, towards the tooth's own side, degrees: see `archFacialDeg`. */
  readonly archFacialDeg: number
  readonly source: string
  /** All the norms there are for this tooth, also those that were not used. */
  readonly published: readonly PublishedNorm[]
}

interface Table {
  readonly what: PublishedNorm['what']
  readonly source: string
  /** Places 1 to 7 of a quadrant. */
  readonly upper: readonly number[]
  readonly lower: readonly number[]
}

/**
 * Dempster, Adams and Duddles 1963 give the angles without a side. Sides here: anterior teeth and upper back teeth
 * lean facially with their crowns, lower back teeth lingually (the curve of Wilson).
 */
const LONG_AXIS: Table = {
  what: 'long-axis-tilt',
  source:
    'Dempster, Adams and Duddles 1963, J Am Dent Assoc 67:779, as reprinted in dental anatomy books; from memory, sides by the curve of Wilson',
  upper: [28, 26, 16, 5, 6, 8, 10],
  lower: [22, 23, 12, -9, -9, -20, -20],
}

const INCLINATIONS: readonly Table[] = [
  {
    what: 'crown-inclination',
    source: 'Andrews 1972, Am J Orthod 62:296, six keys to normal occlusion; from memory',
    upper: [7, 3, -7, -7, -7, -9, -9],
    lower: [-1, -1, -11, -17, -22, -30, -35],
  },
  {
    what: 'crown-inclination',
    source: 'northern Thai norms, 60 people with normal occlusion',
    upper: [8.2, 6.3, -6, -8, -8.2, -9.5, -8.4],
    lower: [5.4, 2.3, -3.8, -13.2, -18.9, -25.2, -34.7],
  },
]

const ARCH =
  'rotation: in line with the arch (own choice); arch: beta function, Braun 1998, Angle Orthod 68:29, from memory'

/**
 * Published means of how a tooth stands and what to start with. A third molar takes those of the second molar.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function crownNorm(tooth: string): CrownNorm {
  const place = Math.min(7, placeInQuadrant(checkTooth(tooth)))
  const of = (table: Table): number => (isUpper(tooth) ? table.upper : table.lower)[place - 1]
  const third = tooth[1] === '8' ? '; value of the second molar' : ''
  return {
    tooth,
    tiltFacialDeg: of(LONG_AXIS),
    rotationDeg: 0,
    archFacialDeg: archFacialDeg(tooth),
    source: `tilt: ${LONG_AXIS.source}${third}; ${ARCH}`,
    published: [LONG_AXIS, ...INCLINATIONS].map((table) => ({
      what: table.what,
      deg: of(table),
      source: `${table.source}${third}`,
    })),
  }
}

/**
 * Where a crown starts at a site: crown frame to LPS mm, with its cervical centre at `at` (LPS mm) and its long axis
 * leaning facially of the site's vertical by the norm's tilt.
 * @throws RangeError for an unknown tooth or directions that are parallel or have no length.
 */
export function startingCrownPose(site: Site, at: Vec3): Mat4 {
  const vertical = normalize(site.coronal)
  const facial = perpendicularTo(site.facial, vertical)
  const tilt = (crownNorm(site.tooth).tiltFacialDeg * Math.PI) / 180
  const apical = scale(add(scale(vertical, Math.cos(tilt)), scale(facial, Math.sin(tilt))), -1)
  const x = perpendicularTo(facial, apical)
  return fromFrame(x, cross(apical, x), apical, at)
}
