import type { Vec3 } from '@alveometer/core'
import type { Grid } from '../generators/index.js'
import { type Anatomy, emptyJaw, emptyTooth, ligamentMm, liningMm } from './anatomy.js'
import type { Greys } from './materials.js'
import { hump } from './smooth.js'
import type { Tooth, ToothSample } from './tooth.js'

/** Voxel textures, x fastest: trabecular sheets and soft-tissue variation, both normal with deviation 1. */
export interface Textures {
  readonly sheets: Float32Array
  readonly patches: Float32Array
}

/** Share of a voxel on the inside of a surface at signed distance d: a box filter along the normal. */
const share = (d: number, width: number): number =>
  d >= 0.5 * width ? 0 : d <= -0.5 * width ? 1 : 0.5 - d / width

/**
 * The anatomy as grey values before blur and noise, into `out` (x fastest). Surfaces inside a voxel give a mixture by
 * the share on either side; nested bodies are painted outside in.
 */
export function paint(
  anatomy: Anatomy,
  grid: Grid,
  greys: Greys,
  textures: Textures,
  inField: (x: number, y: number) => boolean,
  out: Float32Array,
): void {
  const [nx, ny, nz] = grid.shape
  const step = rows(anatomy, grid)
  const width = Math.cbrt(Math.abs(voxelVolume(grid)))
  const arch = { s: 0, t: 0 }
  const jaw = emptyJaw()
  const tooth = emptyTooth()
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = step(j, k)
      const near = anatomy.teeth.filter((one) => distanceToRow(one, row, nx) < one.radius)
      for (let i = 0; i < nx; i++, n++) {
        if (!inField(i, j)) {
          out[n] = greys.air
          continue
        }
        const x = row.x + i * row.dx
        const y = row.y + i * row.dy
        const z = row.z + i * row.dz
        anatomy.sample(x, y, z, arch, jaw)
        const solid = share(Math.min(jaw.soft, jaw.bone), width)
        const patch = textures.patches[n] as number
        const fat =
          hump(arch.t - 10.2 - 0.6 * patch, 1.3) * hump(z - 16, 16) * share(10 - arch.t - 4 + jaw.facialT, 2)
        let v = greys.air
        if (solid > 0) {
          const soft = greys.soft + (greys.fat - greys.soft) * Math.min(1, 0.85 * fat) + 9 * patch
          v += (soft - greys.air) * solid
        }
        const bone = share(jaw.bone, width)
        let socket = 1
        let painted = -1
        for (const one of near) {
          const [cx, cy, cz] = one.centre
          if ((x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2 > one.radius ** 2) continue
          one.sample(x, y, z, tooth)
          if (tooth.outer > 1.2) continue
          if (tooth.height > -1) socket *= 1 - share(tooth.outer - ligamentMm - liningMm, width)
          painted = Math.max(painted, 0)
          if (bone > 0 || tooth.outer < width) painted = 1
        }
        if (bone > 0) {
          v += (greys.cortex - v) * bone
          const marrow = share(jaw.marrow, width) * socket * (1 - share(jaw.canal - 0.45, width))
          if (marrow > 0) v += (marrowGrey(textures.sheets[n] as number, patch, jaw, greys) - v) * marrow
          v += (greys.soft - v) * share(jaw.canal, width) * bone
        }
        if (painted > 0)
          for (const one of near) {
            one.sample(x, y, z, tooth)
            if (tooth.outer < 1) v = paintTooth(v, tooth, bone, greys, width)
          }
        out[n] = v
      }
    }
}

/** Thin sheets where a random field is near zero, closer together where bone is dense. */
function marrowGrey(sheet: number, patch: number, jaw: { bone: number }, greys: Greys): number {
  const density = 0.33 + 0.06 * patch + 0.12 * hump(jaw.bone + 0.8, 1.6)
  const solid = Math.exp(-((sheet / density) ** 2))
  return greys.marrowSpace + (greys.trabecula - greys.marrowSpace) * solid
}

function paintTooth(before: number, tooth: ToothSample, bone: number, greys: Greys, width: number): number {
  let v = before
  // The ligament is soft; outside bone it cannot be told from gum.
  if (tooth.height > -1) v += (greys.soft - v) * share(tooth.outer - ligamentMm, width) * bone
  const whole = share(tooth.outer, width)
  if (whole === 0) return v
  const dentine = share(tooth.dentine, width)
  const hard = greys.enamel + (greys.dentine - greys.enamel) * dentine
  const inside = hard + (greys.pulp - hard) * share(tooth.pulp, width)
  return v + (inside - v) * whole
}

interface Row {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly dx: number
  readonly dy: number
  readonly dz: number
}

/** Start and step of voxel rows in the jaw's frame. */
function rows(anatomy: Anatomy, grid: Grid): (j: number, k: number) => Row {
  const m = grid.indexToWorld
  const w = anatomy.worldToJaw
  const turn = (x: number, y: number, z: number, one: number): Vec3 =>
    [0, 1, 2].map(
      (r) =>
        (w[r] as number) * x +
        (w[r + 4] as number) * y +
        (w[r + 8] as number) * z +
        one * (w[r + 12] as number),
    ) as [number, number, number]
  const columnOf = (c: number, one: number) =>
    turn(m[4 * c] as number, m[4 * c + 1] as number, m[4 * c + 2] as number, one)
  const [ax, ay, az, o] = [columnOf(0, 0), columnOf(1, 0), columnOf(2, 0), columnOf(3, 1)]
  return (j, k) => ({
    x: o[0] + j * ay[0] + k * az[0],
    y: o[1] + j * ay[1] + k * az[1],
    z: o[2] + j * ay[2] + k * az[2],
    dx: ax[0],
    dy: ax[1],
    dz: ax[2],
  })
}

/** Shortest distance from a tooth's centre to the straight row (lengthened both ways). */
function distanceToRow(tooth: Tooth, row: Row, count: number): number {
  const [cx, cy, cz] = tooth.centre
  const size = row.dx ** 2 + row.dy ** 2 + row.dz ** 2
  const at = ((cx - row.x) * row.dx + (cy - row.y) * row.dy + (cz - row.z) * row.dz) / size
  const n = Math.min(count, Math.max(0, at))
  return Math.hypot(row.x + n * row.dx - cx, row.y + n * row.dy - cy, row.z + n * row.dz - cz)
}

function voxelVolume(grid: Grid): number {
  const m = grid.indexToWorld
  const at = (n: number) => m[n] as number
  return (
    at(0) * (at(5) * at(10) - at(6) * at(9)) -
    at(4) * (at(1) * at(10) - at(2) * at(9)) +
    at(8) * (at(1) * at(6) - at(2) * at(5))
  )
}
