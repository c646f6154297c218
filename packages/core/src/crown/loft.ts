import type { Mesh, Vec3 } from '../space/index.js'
import type { CrownRegion } from './crown.js'
import type { CrownForm } from './crown-form.js'

/** What a crown form becomes; +y is mesial here, mm. */
export interface Loft {
  readonly mesh: Mesh
  readonly regions: readonly CrownRegion[]
  readonly edge: readonly Vec3[]
  readonly rim: readonly Vec3[]
  readonly cejCurve: readonly Vec3[]
}

export interface LoftSize {
  readonly lengthMm: number
  readonly cejMesialMm: number
  readonly cejDistalMm: number
}

/** Points round a cross-section: a multiple of four, so that the widest points are among them. */
const AROUND = 72
const HALF = AROUND / 2

/** Rows up the wall, as shares of its height: closer together where it bends over. */
const WALL = [
  ...Array.from({ length: 16 }, (_, i) => i / 20),
  ...Array.from({ length: 9 }, (_, i) => 0.8 + 0.025 * i),
]
/** Rows of the base, as shares of the way from its middle to the cervical line. */
const BASE = [0.25, 0.5, 0.75]
/** Rows of the incisal or occlusal surface, as shares of the way from the line it closes on to its rim. */
const INSIDE = [0.97, 0.88, 0.74, 0.56, 0.38, 0.18]

/** A rhomboid crown is an ellipse at its cervical margin and has its full shape from here up. */
const SHEARED_T = 0.35

/** Half the arc, degrees, of the mesial and of the distal face; the facial and oral faces take the rest. */
const PROXIMAL_DEG = 38

/**
 * Stretches a closed surface over a crown form: a base that follows the cervical line (a saddle through the origin), a wall of cross-sections up to the rim of
 * the incisal or occlusal surface, and that surface down to the line it closes on.
 */
export function loft(form: CrownForm, size: LoftSize): Loft {
  const levels = [...new Set([...WALL, ...form.crests])].sort((a, b) => a - b)
  const sections = levels.map((t) => sectionAt(form, t))
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

  const cejHeight = (y: number): number =>
    y > 0 ? size.cejMesialMm * (y / form.mesial(0)) ** 2 : size.cejDistalMm * (y / form.distal(0)) ** 2
  const base = BASE.map((share) => neck.map(([x, y]): Vec3 => [share * x, share * y, -cejHeight(share * y)]))
  const wall = sections.map((section, row) =>
    section.map(([x, y], k): Vec3 => {
      const cej = cejHeight(neck[k][1])
      const rim = size.lengthMm - (rimDepth[k] - highest)
      return [x, y, -(cej + levels[row] * (rim - cej))]
    }),
  )
  const rows = [...base, ...wall, ...inner.map((row) => row.map(seat))]
  const edge = line.map(seat)
  return { ...stitch(rows, edge, levels.length), edge, rim: wall[wall.length - 1], cejCurve: wall[0] }
}

const angleOf = (k: number): number => (2 * Math.PI * k) / AROUND

/** Point 0 is mesial, a quarter round is facial. The extremes of the section are exactly the form's four distances. */
function sectionAt(form: CrownForm, t: number): (readonly [number, number])[] {
  const middle = (form.facial(t) - form.oral(t)) / 2
  const half = (form.facial(t) + form.oral(t)) / 2
  const shear = form.shear * Math.min(1, t / SHEARED_T)
  const unit = Array.from({ length: AROUND }, (_, k): [number, number] => {
    const c = tidy(Math.cos(angleOf(k)))
    const s = tidy(Math.sin(angleOf(k)))
    const power = s >= 0 ? form.facialPower(t) : form.oralPower(t)
    const out = (Math.abs(c) ** power + Math.abs(s) ** power) ** (-1 / power)
    return [s * out, (c * (1 + form.taper * s) + shear * s) * out]
  })
  const mesial = Math.max(...unit.map((p) => p[1]))
  const distal = -Math.min(...unit.map((p) => p[1]))
  return unit.map(([x, y]) => {
    const v = y > 0 ? y / mesial : y / distal
    const ridge = x < 0 ? form.oralRidge(t) * 4 * v * v * (1 - v * v) : 0
    return [middle + half * x - ridge, v > 0 ? v * form.mesial(t) : v * form.distal(t)]
  })
}

const tidy = (v: number): number => (Math.abs(v) < 1e-12 ? 0 : v)

function stitch(rows: readonly Vec3[][], edge: readonly Vec3[], wallRows: number) {
  const points: Vec3[] = [...rows.flat(), ...edge]
  const regions: CrownRegion[] = []
  const triangles: number[] = []
  const add = (region: CrownRegion, ...corners: readonly number[]) => {
    triangles.push(...corners)
    regions.push(region)
  }
  const at = (row: number, k: number) => row * AROUND + (k % AROUND)
  for (let row = 0; row + 1 < rows.length; row++)
    for (let k = 0; k < AROUND; k++) {
      const region = row < BASE.length ? 'base' : row < BASE.length + wallRows - 1 ? faceOf(k) : 'edge'
      add(region, at(row, k), at(row, k + 1), at(row + 1, k + 1))
      add(region, at(row, k), at(row + 1, k + 1), at(row + 1, k))
    }
  const last = rows.length - 1
  const ridge = (k: number) => rows.length * AROUND + (k <= HALF ? k : AROUND - k)
  for (let k = 0; k < AROUND; k++) {
    // At its two ends the line runs straight on into the row: the other diagonal would make a flat triangle there.
    const startsAtEnd = k % HALF === 0
    add('edge', at(last, k), at(last, k + 1), ridge(startsAtEnd ? k : k + 1))
    add('edge', startsAtEnd ? at(last, k + 1) : at(last, k), ridge(k + 1), ridge(k))
  }
  const centre = points.length
  points.push([0, 0, 0])
  for (let k = 0; k < AROUND; k++) add('base', centre, at(0, k + 1), at(0, k))
  const mesh: Mesh = { positions: Float64Array.from(points.flat()), triangles: Uint32Array.from(triangles) }
  return { mesh, regions }
}

function faceOf(k: number): CrownRegion {
  const deg = ((k + 0.5) * 360) / AROUND
  if (deg < PROXIMAL_DEG || deg > 360 - PROXIMAL_DEG) return 'mesial'
  if (Math.abs(deg - 180) < PROXIMAL_DEG) return 'distal'
  return deg < 180 ? 'facial' : 'oral'
}
