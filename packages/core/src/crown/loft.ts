import type { Mesh, Vec3 } from '../space/index.js'
import type { CervicalLine } from './cervical-line.js'
import { cervicalHeight } from './cervical-line.js'
import type { CrownRegion } from './crown.js'
import type { CrownForm } from './crown-form.js'
import { smooth } from './crown-form.js'
import { stitch } from './stitch.js'

/** What a crown form becomes; +y is mesial here, mm. */
export interface Loft {
  readonly mesh: Mesh
  readonly regions: readonly CrownRegion[]
  readonly edge: readonly Vec3[]
  readonly rim: readonly Vec3[]
  readonly cejCurve: readonly Vec3[]
  /** The most apical point of the facial cervical margin. */
  readonly zenith: Vec3
}

export interface LoftSize {
  readonly lengthMm: number
  readonly widthMdMm: number
  readonly widthLlMm: number
  readonly cervical: CervicalLine
}

/** Points round a cross-section: a multiple of four, so that the widest points are among them. */
const AROUND = 96
const HALF = AROUND / 2

/** Rows up the wall, as shares of its height: closer together where it bends over. */
const WALL = [
  ...Array.from({ length: 20 }, (_, i) => i / 25),
  ...Array.from({ length: 7 }, (_, i) => 0.8 + 0.025 * i),
  ...[0.97, 0.985, 1],
]
/** Rows of the base, as shares of the way from its middle to the cervical line. */
const BASE = [0.3, 0.65]
/** Rows of the incisal or occlusal surface, as shares of the way from the line it closes on to its rim. */
const INSIDE = [0.985, 0.95, 0.9, 0.83, 0.75, 0.66, 0.56, 0.46, 0.36, 0.26, 0.17, 0.08]

/** A row this close to a height of contour gives way to it. */
const CLOSE_T = 0.008

/** Below this height the widths are the cervical ones' business, above it those of the whole crown. */
const NECK_T = 0.12

/**
 * Stretches a closed surface over a crown form: a base that follows the cervical line (a saddle through the origin),
 * a wall of cross-sections up to the rim of the incisal or occlusal surface, and that surface down to the line it
 * closes on. Its greatest widths and its length are exactly those of `size`.
 */
export function loft(form: CrownForm, size: LoftSize): Loft {
  const crests = [...new Set(form.crests)]
  const between = WALL.filter((t) => crests.every((crest) => Math.abs(t - crest) > CLOSE_T))
  const levels = [...between, ...crests].sort((a, b) => a - b)
  const { angles, zenith } = anglesThrough(form, size.cervical.zenithY)
  const sections = fitted(
    levels.map((t) => form.section(t, angles)),
    levels,
    size,
  )
  const top = sections[sections.length - 1]
  const neck = sections[0]
  const halfLength = Math.max(...top.map((p) => Math.abs(p[1])))
  const ridge = Array.from({ length: HALF + 1 }, (_, k): readonly [number, number] => {
    const y = ((top[k][1] + top[(AROUND - k) % AROUND][1]) / 2) * form.ridgeShare(halfLength)
    return [form.ridgeX(y), y]
  })
  const ridgeOf = (k: number) => ridge[k <= HALF ? k : AROUND - k]

  const inner = INSIDE.map((sigma) =>
    top.map(([x, y], k): Vec3 => {
      const [rx, ry] = ridgeOf(k)
      const at = [rx + sigma * (x - rx), ry + sigma * (y - ry)] as const
      return [at[0], at[1], form.depth(at[0], at[1])]
    }),
  )
  const line = ridge.map(([x, y]): Vec3 => [x, y, form.depth(x, y)])
  const rimDepth = top.map(([x, y]) => form.depth(x, y))
  const highest = Math.min(...rimDepth, ...inner.flat().map((p) => p[2]), ...line.map((p) => p[2]))
  const seat = ([x, y, depth]: Vec3): Vec3 => [x, y, depth - highest - size.lengthMm]

  const cej = neck.map(([, y], k) => cervicalHeight(size.cervical, y, smooth(0, 0.7, Math.sin(angles[k]))))
  const base = BASE.map((share) =>
    neck.map(([x, y], k): Vec3 => [share * x, share * y, -cej[k] * share ** 2]),
  )
  const wall = sections.map((section, row) =>
    section.map(([x, y], k): Vec3 => {
      const rim = size.lengthMm - (rimDepth[k] - highest)
      return [x, y, -(cej[k] + levels[row] * (rim - cej[k]))]
    }),
  )
  const edge = line.map(seat)
  const inside = inner.map((row) => row.map(seat))
  const soft = roundedRim([...wall, ...inside], wall.length, form.roundings)
  const stretch = stretchTo(size.lengthMm, [...soft.flat(), ...edge])
  const rows = soft.map((row) => row.map(stretch))
  const closing = edge.map(stretch)
  const stitched = stitch({
    base,
    wall: rows.slice(0, wall.length),
    inside: rows.slice(wall.length),
    edge: closing,
  })
  return {
    mesh: stitched.mesh,
    regions: Object.freeze(stitched.regions),
    edge: closing,
    rim: rows[wall.length - 1],
    cejCurve: rows[0],
    zenith: rows[0][zenith],
  }
}

/** How many rows on either side of the rim are rounded over. */
const SOFT_ROWS = 6

/** The rows with the crease at the rim worn off: each point goes half way to its neighbours on its meridian, again and again. */
function roundedRim(
  rows: readonly (readonly Vec3[])[],
  wallRows: number,
  times: number,
): readonly (readonly Vec3[])[] {
  let now = rows
  for (let i = 0; i < times; i++) {
    const before = now
    now = before.map((row, r) =>
      Math.abs(r - (wallRows - 1)) > SOFT_ROWS
        ? row
        : row.map(([x, y, z], k): Vec3 => {
            const [a, b] = [before[r - 1][k], before[r + 1][k]]
            return [(a[0] + 2 * x + b[0]) / 4, (a[1] + 2 * y + b[1]) / 4, (a[2] + 2 * z + b[2]) / 4]
          }),
    )
  }
  return now
}

/** Draws the upper part of a crown out to its length, the cervical part stays. */
function stretchTo(lengthMm: number, points: readonly Vec3[]): (p: Vec3) => Vec3 {
  const tallest = Math.max(...points.map((p) => -p[2]))
  const from = lengthMm / 2
  const more = (lengthMm - from) / (tallest - from) - 1
  return ([x, y, z]) => [x, y, z - more * Math.max(0, -z - from)]
}

/** Angles round the crown, even but for a slight shift on the facial half that puts one point on the zenith. */
function anglesThrough(
  form: CrownForm,
  zenithY: number,
): { readonly angles: readonly number[]; readonly zenith: number } {
  const even = Array.from({ length: AROUND }, (_, k) => (2 * Math.PI * k) / AROUND)
  const place = (angle: number) => form.section(0, [0, angle, Math.PI])[1][1]
  let [mesial, distal] = [0, Math.PI]
  for (let i = 0; i < 60; i++) {
    const between = (mesial + distal) / 2
    if (place(between) > zenithY) mesial = between
    else distal = between
  }
  const nearest = Math.round((mesial * AROUND) / (2 * Math.PI))
  const shift = mesial - even[nearest]
  const weight = (angle: number) => Math.max(0, Math.sin(angle)) ** 2
  const angles = even.map((angle, k) =>
    k <= HALF ? angle + (shift * weight(angle)) / weight(even[nearest]) : angle,
  )
  return { angles, zenith: nearest }
}

/** Sections whose greatest extents above the neck are those of the size. */
function fitted(
  sections: readonly (readonly (readonly [number, number])[])[],
  levels: readonly number[],
  { widthMdMm, widthLlMm }: LoftSize,
) {
  const all = sections.flat()
  const extent = (axis: 0 | 1) => Math.max(...all.map((p) => p[axis])) - Math.min(...all.map((p) => p[axis]))
  const [kx, ky] = [widthLlMm / extent(0), widthMdMm / extent(1)]
  return sections.map((section, row) => {
    const share = smooth(0, NECK_T, levels[row])
    return section.map(([x, y]) => [x * (1 + share * (kx - 1)), y * (1 + share * (ky - 1))] as const)
  })
}
