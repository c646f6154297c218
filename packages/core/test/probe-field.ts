import {
  NODE_BONE,
  NODE_OUTSIDE,
  NODE_UNSCANNED,
  type ProbeColumns,
  type ProbedSurface,
} from '../src/bone/index.js'
import { type FixtureFrame, fixtureFrame, type SurfaceGrid } from '../src/fixture/index.js'
import type { Vec3 } from '../src/space/index.js'

/** Signed distance to the end of bone at a place, mm, positive in bone. */
export type DistanceAt = (x: number, y: number, z: number) => number

export interface FieldOptions {
  readonly stepMm?: number
  readonly lowMm?: Vec3
  readonly highMm?: Vec3
  /** Places that were not scanned. */
  readonly unscanned?: (x: number, y: number, z: number) => boolean
  /** 64 at the level of cortex. */
  readonly hardness?: (x: number, y: number, z: number) => number
  readonly masks?: ProbedSurface['model']['masks']
}

/** The field of a body in closed form. */
export function fieldOf(distanceAt: DistanceAt, options: FieldOptions = {}): ProbedSurface {
  const { stepMm = 0.25, lowMm = [-14, -14, -5], highMm = [14, 14, 20] } = options
  const shape = [0, 1, 2].map((a) => Math.round((highMm[a] - lowMm[a]) / stepMm) + 1)
  const [nx, ny, nz] = shape
  const distanceMm = new Float32Array(nx * ny * nz)
  const kinds = new Uint8Array(distanceMm.length)
  const hardness = new Uint8Array(distanceMm.length)
  for (let k = 0, n = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, n++) {
        const x = lowMm[0] + stepMm * i
        const y = lowMm[1] + stepMm * j
        const z = lowMm[2] + stepMm * k
        distanceMm[n] = distanceAt(x, y, z)
        kinds[n] = options.unscanned?.(x, y, z)
          ? NODE_UNSCANNED
          : distanceMm[n] > 0
            ? NODE_BONE
            : NODE_OUTSIDE
        hardness[n] = options.hardness?.(x, y, z) ?? 0
      }
  return {
    model: { masks: options.masks ?? [] },
    originMm: lowMm,
    stepMm,
    shape: [nx, ny, nz],
    distanceMm,
    kinds,
    hardness,
  }
}

/** Trilinear, written out anew. */
export function readField({ originMm, stepMm, shape, distanceMm }: ProbedSurface, point: Vec3): number {
  const at = point.map((c, a) => (c - originMm[a]) / stepMm)
  if (at.some((c, a) => !(c >= 0 && c < shape[a] - 1))) return Number.NaN
  let sum = 0
  for (const [a, b, c] of CORNERS) {
    const node = [a, b, c].map((d, axis) => Math.floor(at[axis]) + d)
    const weight = [a, b, c].reduce((w, d, axis) => {
      const share = at[axis] - Math.floor(at[axis])
      return w * (d === 1 ? share : 1 - share)
    }, 1)
    sum += weight * distanceMm[node[0] + shape[0] * (node[1] + shape[1] * node[2])]
  }
  return sum
}

const CORNERS = [0, 1].flatMap((a) => [0, 1].flatMap((b) => [0, 1].map((c) => [a, b, c] as const)))

/** Four sectors of 90 degrees about 0, 90, 180 and 270, and one limit. */
export const quarters = ({ anglesDeg }: SurfaceGrid, limitMm = 1): ProbeColumns => ({
  count: 4,
  ofColumn: anglesDeg.map((angle) => Math.floor(((angle + 45) % 360) / 90)),
  limitsMm: anglesDeg.map(() => limitMm),
})

/** Numbers from 0 to 1 that look drawn by lot: a linear congruence (Numerical Recipes, 2nd ed., section 7.1). */
export function lot(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

/** A pose some way off the z axis, and tilted. */
export function someFrame(draw: () => number, awayMm = 1, tilt = 0.3): FixtureFrame {
  const about = (mm: number) => mm * (2 * draw() - 1)
  const platform: Vec3 = [about(awayMm), about(awayMm), about(awayMm)]
  const apical: Vec3 = [about(tilt), about(tilt), 1]
  return fixtureFrame({ platform, apical }, [1, 0, 0])
}
