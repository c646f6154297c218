import type { Vec3 } from '@alveometer/core'
import { onArch } from './arch.js'
import { curve, ramp, smoothMax } from './smooth.js'
import { type ToothShape, toothShapes } from './tooth-shapes.js'

/** What lies at a point of a tooth's surroundings; distances in mm, negative inside. */
export interface ToothSample {
  /** To the outside of the tooth. */
  outer: number
  /** To the junction of enamel and dentine; negative throughout the root. */
  dentine: number
  pulp: number
  /** Along the tooth from the neck, apical positive. */
  height: number
}

/** A tooth in the jaw's frame. */
export interface Tooth {
  readonly name: string
  /** Arc length of its place on the arch. */
  readonly s: number
  /** Centre and radius of a ball that holds it and its ligament. */
  readonly centre: readonly [number, number, number]
  readonly radius: number
  readonly sample: (x: number, y: number, z: number, out: ToothSample) => void
}

interface Place {
  readonly name: string
  readonly shape: ToothShape
  readonly s: number
  /** Facial shift, height of the neck above the crest line, lean of the root palatally and distally, turn (degrees). */
  readonly facial: number
  readonly neck: number
  readonly lean: number
  readonly distal: number
  readonly turn: number
}

const { central, lateral, canine, firstPremolar, secondPremolar, firstMolar } = toothShapes

const places: readonly Place[] = [
  { name: '21', shape: central, s: 3.85, facial: 0.05, neck: -1.9, lean: 15, distal: 2, turn: 2 },
  { name: '12', shape: lateral, s: -10.7, facial: -0.35, neck: -2.3, lean: 17, distal: 5, turn: -6 },
  { name: '22', shape: lateral, s: 10.6, facial: -0.15, neck: -2.2, lean: 16, distal: 4, turn: 3 },
  { name: '13', shape: canine, s: -17.2, facial: 0.35, neck: -1.7, lean: 11, distal: 6, turn: -3 },
  { name: '23', shape: canine, s: 17.05, facial: 0.45, neck: -1.5, lean: 12, distal: 7, turn: 4 },
  { name: '14', shape: firstPremolar, s: -24.3, facial: -0.3, neck: -1.9, lean: 5, distal: 3, turn: 3 },
  { name: '24', shape: firstPremolar, s: 24.15, facial: -0.25, neck: -1.8, lean: 6, distal: 4, turn: -2 },
  { name: '15', shape: secondPremolar, s: -31.1, facial: -0.4, neck: -1.8, lean: 4, distal: 3, turn: 2 },
  { name: '25', shape: secondPremolar, s: 30.95, facial: -0.4, neck: -1.9, lean: 4, distal: 2, turn: 2 },
  { name: '16', shape: firstMolar, s: -39.4, facial: -0.6, neck: -1.9, lean: 2, distal: 2, turn: 3 },
  { name: '26', shape: firstMolar, s: 39.2, facial: -0.6, neck: -1.8, lean: 2, distal: 2, turn: 2 },
]

/** Where the missing right central incisor stood; its planned crown goes there. */
const missing: Place = {
  ...{ name: '11', shape: central, s: -3.85, facial: 0.05 },
  ...{ neck: -1.9, lean: 15, distal: 2, turn: -2 },
}

const degrees = Math.PI / 180

/** Unit axes of a tooth in the jaw's frame: mesiodistal, facial, apical. */
function axesOf(place: Place) {
  const at = onArch(place.s)
  const side = Math.sign(place.s)
  const c = Math.cos(place.turn * degrees)
  const n = Math.sin(place.turn * degrees)
  const facial = [at.facial[0] * c + at.along[0] * n, at.facial[1] * c + at.along[1] * n]
  const lean = Math.tan(place.lean * degrees)
  const distal = Math.tan(place.distal * degrees) * side
  const raw = [at.along[0] * distal - at.facial[0] * lean, at.along[1] * distal - at.facial[1] * lean, 1]
  const size = Math.hypot(raw[0] as number, raw[1] as number, 1)
  const apical = raw.map((v) => v / size) as [number, number, number]
  const lift = (facial[0] as number) * apical[0] + (facial[1] as number) * apical[1]
  const f0 = [
    (facial[0] as number) - lift * apical[0],
    (facial[1] as number) - lift * apical[1],
    -lift * apical[2],
  ]
  const fSize = Math.hypot(...f0)
  const f = f0.map((v) => v / fSize) as [number, number, number]
  const m: [number, number, number] = [
    f[1] * apical[2] - f[2] * apical[1],
    f[2] * apical[0] - f[0] * apical[2],
    f[0] * apical[1] - f[1] * apical[0],
  ]
  const origin = [at.x + at.facial[0] * place.facial, at.y + at.facial[1] * place.facial, place.neck] as const
  return { m, f, apical, origin }
}

/** Half widths and surfaces along the tooth; h from -crown (edge) to root (apex). */
function profiles(shape: ToothShape) {
  const { crownMm: c, rootMm: r, width: w, neckWidth: nw, deep: d, neckDeep: nd, kind } = shape
  const half = curve([
    [-c - 1, 0.4 * w],
    [-c, kind === 'incisor' ? 0.465 * w : 0.38 * w],
    [-0.75 * c, 0.5 * w],
    [-0.35 * c, 0.46 * w],
    [0, 0.5 * nw],
    [0.45 * r, 0.42 * nw],
    [0.8 * r, 0.28 * nw],
    [0.95 * r, 0.15 * nw],
    [r + 0.4, 0.03 * nw],
  ])
  const facial = curve([
    [-c - 1, kind === 'premolar' ? 0.24 * d : 0.06 * d],
    [-c, kind === 'premolar' ? 0.3 * d : 0.09 * d],
    [-0.7 * c, kind === 'premolar' ? 0.44 * d : 0.31 * d],
    [-0.3 * c, 0.5 * d],
    [0, 0.5 * nd],
    [0.45 * r, 0.4 * nd],
    [0.8 * r, 0.25 * nd],
    [0.95 * r, 0.13 * nd],
    [r + 0.4, 0.02 * nd],
  ])
  const palatal = curve([
    [-c - 1, kind === 'premolar' ? -0.26 * d : 0.04 * d],
    [-c, kind === 'premolar' ? -0.32 * d : -0.05 * d],
    [-0.75 * c, kind === 'premolar' ? -0.45 * d : -0.1 * d],
    [-0.5 * c, kind === 'premolar' ? -0.5 * d : -0.2 * d],
    [-0.2 * c, -0.5 * d],
    [0, -0.5 * nd],
    [0.45 * r, -0.4 * nd],
    [0.8 * r, -0.25 * nd],
    [0.95 * r, -0.13 * nd],
    [r + 0.4, -0.02 * nd],
  ])
  const pulp = curve([
    [-0.62 * c, 0],
    [-0.5 * c, 0.12],
    [-0.2 * c, 0.24],
    [0.1 * r, 0.2],
    [0.5 * r, 0.16],
    [0.9 * r, 0.2],
    [r, 0.2],
  ])
  return { half, facial, palatal, pulp }
}

function createTooth(place: Place): Tooth {
  const { shape } = place
  const { m, f, apical, origin } = axesOf(place)
  const { half, facial, palatal, pulp } = profiles(shape)
  const [ox, oy, oz] = origin
  const { crownMm, rootMm, kind } = shape
  const premolar = kind === 'premolar'
  const middle = (rootMm - crownMm) / 2
  // Nothing of a tooth is farther than this from its axis, with two millimetres to spare.
  const reach = Math.max(shape.width, shape.deep) / 2 + 2.5
  const sample = (x: number, y: number, z: number, out: ToothSample) => {
    const dx = x - ox
    const dy = y - oy
    const dz = z - oz
    const h = dx * apical[0] + dy * apical[1] + dz * apical[2]
    const u = dx * m[0] + dy * m[1] + dz * m[2]
    const across = dx * f[0] + dy * f[1] + dz * f[2]
    out.height = h
    if (u * u + across * across > reach * reach) {
      out.outer = 2
      out.dentine = 2
      out.pulp = 2
      return
    }
    const front = facial(h)
    const back = palatal(h)
    const v = across - (front + back) / 2
    const a = half(h)
    const b = (front - back) / 2
    const side = section(u, v, a, b, h)
    const edge = -crownMm + edgeRise(kind, u, v, shape)
    const capped = smoothMax(side, edge - h, premolar ? 1.2 : 0.5)
    out.outer = smoothMax(capped, h - rootMm, 0.8)
    const enamel = 1.15 * ramp(-h, 0, 0.45 * crownMm) + 0.35 * Math.min(1, -h / 0.8)
    const cap = premolar ? 1.6 : 1.9
    out.dentine = h > 0.4 ? -1 : Math.max(out.outer + enamel, edge + cap * ramp(-h, 0, 4) - h)
    const share = pulp(h)
    const wide = Math.max(0.02, share * a)
    const tall = Math.max(0.02, share * b)
    const p0 = Math.sqrt((u / wide) ** 2 + (v / tall) ** 2)
    const p1 = Math.sqrt((u / (wide * wide)) ** 2 + (v / (tall * tall)) ** 2)
    const open = share > 0.01 ? (p1 < 1e-9 ? -Math.min(wide, tall) : (p0 * (p0 - 1)) / p1) : 1
    out.pulp = Math.max(open, h - rootMm + 0.4, -0.6 * crownMm - h)
  }
  return {
    name: place.name,
    s: place.s,
    centre: [ox + apical[0] * middle, oy + apical[1] * middle, oz + apical[2] * middle],
    radius: (crownMm + rootMm) / 2 + 2.6,
    sample,
  }
}

/**
 * First-order distance to a cross-section: an ellipse in the root, squarer in the crown
 * (U^4 + V^4 + 2 c U^2 V^2 = 1 with c from 1 down to 0.35).
 */
function section(u: number, v: number, a: number, b: number, h: number): number {
  const c = 0.35 + 0.65 * ramp(h, -4.5, -0.5)
  const U = u / a
  const V = v / b
  const uu = U * U
  const vv = V * V
  const f2 = Math.sqrt(uu * uu + vv * vv + 2 * c * uu * vv)
  const f = Math.sqrt(f2)
  if (f < 1e-6) return -Math.min(a, b)
  const du = (U * (uu + c * vv)) / (a * f2 * f)
  const dv = (V * (vv + c * uu)) / (b * f2 * f)
  return (f - 1) / Math.sqrt(du * du + dv * dv)
}

/** How far the biting edge rises (apically) from the full crown length. */
function edgeRise(kind: ToothShape['kind'], u: number, v: number, shape: ToothShape): number {
  const across = (2 * Math.abs(u)) / shape.width
  if (kind === 'incisor') return 0.5 * across ** 3 + 0.12 * Math.cos(6.3 * across) * (across < 1 ? 1 : 0)
  if (kind === 'canine') return 0.35 * shape.width * across * 0.62 + 0.05
  const deep = (2 * v) / shape.deep
  return 1.9 * Math.exp(-((deep / 0.32) ** 2)) + 1.1 * Math.max(0, Math.abs(deep) - 0.45) + 0.6 * across ** 2
}

/** The teeth of the upper front: 16 to 26 without 11. */
export const createTeeth = (): Tooth[] => places.map(createTooth)

/** Arc lengths of all tooth places, the missing one included. */
export const toothPlaces: readonly number[] = [...places, missing].map((place) => place.s)

/** Frame of the missing tooth's crown in the jaw: neck centre, facial and apical direction. */
export function missingCrown(): { origin: Vec3; facial: Vec3; apical: Vec3 } {
  const { f, apical, origin } = axesOf(missing)
  return { origin, facial: f, apical }
}
