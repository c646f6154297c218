import type { Vec3 } from '@alveometer/core'
import type { Grid } from '../generators/index.js'
import { type Anatomy, emptyJaw, emptyTooth, ligamentMm, liningMm } from './anatomy.js'
import type { ArchPoint } from './arch.js'
import { air, blockSide, type Corners, cortex, detail, marrow, surveyBlocks } from './blocks.js'
import type { JawSample } from './jaw.js'
import type { Greys } from './materials.js'
import { hump } from './smooth.js'
import type { Tooth, ToothSample } from './tooth.js'
import { type Row, rowsOf } from './voxel-rows.js'

/** Voxel textures, x fastest: trabecular sheets and soft-tissue variation, both normal with deviation 1. */
export interface Textures {
  readonly sheets: Float32Array
  readonly patches: Float32Array
}

/** Thickness of the dense rim of the incisive canal. */
const canalRimMm = 0.45

/** Share of a voxel on the inside of a surface at signed distance d: a box filter along the normal. */
const share = (d: number, width: number): number =>
  d >= 0.5 * width ? 0 : d <= -0.5 * width ? 1 : 0.5 - d / width

/**
 * The anatomy as grey values before blur and noise, into `out` (x fastest; cubic voxels). Surfaces inside a voxel give
 * a mixture by the share on either side; nested bodies are painted outside in. Columns outside the field stay air.
 */
export function paint(
  anatomy: Anatomy,
  grid: Grid,
  voxelMm: number,
  greys: Greys,
  textures: Textures,
  inField: (i: number, j: number) => boolean,
  out: Float32Array,
): void {
  const [nx, ny, nz] = grid.shape
  const rowAt = rowsOf(grid.indexToWorld, anatomy.worldToJaw)
  const corners = survey(anatomy, grid.shape, voxelMm, rowAt)
  const brush = createBrush(anatomy, voxelMm, greys)
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = rowAt(j, k)
      const near = anatomy.teeth.filter((one) => distanceToRow(one, row, nx) < one.radius)
      for (let i = 0; i < nx; i++, n++) {
        if (!inField(i, j)) {
          out[n] = greys.air
          continue
        }
        const kind = corners.kinds[blockOf(corners.shape, i, j, k)]
        const patch = textures.patches[n] as number
        const sheet = textures.sheets[n] as number
        if (kind === detail)
          out[n] = brush(row.x + i * row.dx, row.y + i * row.dy, row.z + i * row.dz, near, patch, sheet)
        else if (kind === air) out[n] = greys.air
        else if (kind === cortex) out[n] = greys.cortex
        else if (kind === marrow)
          out[n] = marrowGrey(sheet, patch, blend(corners.bone, corners, i, j, k), greys)
        else out[n] = softGrey(blend(corners.fat, corners, i, j, k), patch, greys)
      }
    }
}

const blockOf = (shape: Vec3, i: number, j: number, k: number): number =>
  ((i / blockSide) | 0) + shape[0] * (((j / blockSide) | 0) + shape[1] * ((k / blockSide) | 0))

const mix = (a: number, b: number, f: number): number => a + (b - a) * f
const mix2 = (values: Float32Array, at: number, f: number): number =>
  mix(values[at] as number, values[at + 1] as number, f)

/** Trilinear value of a corner field at a voxel. */
function blend(values: Float32Array, corners: Corners, i: number, j: number, k: number): number {
  const at = blockOf(corners.shape, i, j, k)
  const row = corners.shape[0]
  const slice = row * corners.shape[1]
  const fx = (i % blockSide) / blockSide
  const fy = (j % blockSide) / blockSide
  const fz = (k % blockSide) / blockSide
  const low = mix(mix2(values, at, fx), mix2(values, at + row, fx), fy)
  const high = mix(mix2(values, at + slice, fx), mix2(values, at + slice + row, fx), fy)
  return mix(low, high, fz)
}

function survey(
  anatomy: Anatomy,
  shape: Vec3,
  voxelMm: number,
  rowAt: (j: number, k: number) => Row,
): Corners {
  const arch: ArchPoint = { s: 0, t: 0 }
  const jaw = emptyJaw()
  const tooth = emptyTooth()
  return surveyBlocks(shape, voxelMm, (i, j, k, out) => {
    const row = rowAt(j, k)
    const x = row.x + i * row.dx
    const y = row.y + i * row.dy
    const z = row.z + i * row.dz
    anatomy.sample(x, y, z, arch, jaw)
    let nearest = 9
    for (const one of anatomy.teeth) {
      if (outOfReach(one, x, y, z)) continue
      one.sample(x, y, z, tooth)
      nearest = Math.min(nearest, tooth.outer)
    }
    out[0] = jaw.bone
    out[1] = jaw.marrow
    out[2] = Math.min(jaw.canal, jaw.suture + canalRimMm)
    out[3] = jaw.soft
    out[4] = nearest
    out[5] = jaw.fat
  })
}

const outOfReach = (tooth: Tooth, x: number, y: number, z: number): boolean => {
  const [cx, cy, cz] = tooth.centre
  return (x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2 > tooth.radius ** 2
}

/** Paints one voxel by looking at every surface. */
function createBrush(anatomy: Anatomy, width: number, greys: Greys) {
  const arch: ArchPoint = { s: 0, t: 0 }
  const jaw = emptyJaw()
  const tooth = emptyTooth()
  return (x: number, y: number, z: number, near: readonly Tooth[], patch: number, sheet: number): number => {
    anatomy.sample(x, y, z, arch, jaw)
    const solid = share(Math.min(jaw.soft, jaw.bone), width)
    let v = greys.air
    if (solid > 0) v += (softGrey(jaw.fat, patch, greys) - v) * solid
    const bone = share(jaw.bone, width)
    if (bone > 0) {
      v += (greys.cortex - v) * bone
      const inner = share(jaw.marrow, width)
      const rim = 1 - share(jaw.canal - canalRimMm, width)
      if (inner > 0) v += (marrowGrey(sheet, patch, jaw.bone, greys) - v) * inner * rim
      v += (greys.soft - v) * bone * Math.max(share(jaw.canal, width), 0.5 * share(jaw.suture, width))
    }
    for (const one of near) {
      if (outOfReach(one, x, y, z)) continue
      one.sample(x, y, z, tooth)
      if (tooth.outer < 1.5) v = paintTooth(v, tooth, jaw, greys, width)
    }
    return v
  }
}

function softGrey(fat: number, patch: number, greys: Greys): number {
  const share = Math.min(1, Math.max(0, fat * (0.7 + 0.45 * patch)))
  return greys.soft + (greys.fat - greys.soft) * share + 12 * patch
}

/** Thin sheets where a random field is near zero, closer together where bone is dense. */
function marrowGrey(sheet: number, patch: number, bone: number, greys: Greys): number {
  const density = 0.34 + 0.07 * patch + 0.12 * hump(bone + 0.8, 1.6)
  const solid = Math.exp(-((sheet / density) ** 2))
  return greys.marrowSpace + (greys.trabecula - greys.marrowSpace) * solid
}

/** Lining of the socket, ligament, then the tooth itself over what was there. */
function paintTooth(before: number, tooth: ToothSample, jaw: JawSample, greys: Greys, width: number): number {
  let v = before
  if (tooth.height > -1 && jaw.bone < width) {
    const bone = share(jaw.bone, width)
    v += (greys.cortex - v) * share(tooth.outer - ligamentMm - liningMm, width) * bone
    // The ligament is soft; outside bone it cannot be told from gum.
    v += (greys.soft - v) * share(tooth.outer - ligamentMm, width) * bone
  }
  const whole = share(tooth.outer, width)
  if (whole === 0) return v
  const hard = greys.enamel + (greys.dentine - greys.enamel) * share(tooth.dentine, width)
  const inside = hard + (greys.pulp - hard) * share(tooth.pulp, width)
  return v + (inside - v) * whole
}

/** Shortest distance from a tooth's centre to a row of voxels. */
function distanceToRow(tooth: Tooth, row: Row, count: number): number {
  const [cx, cy, cz] = tooth.centre
  const size = row.dx ** 2 + row.dy ** 2 + row.dz ** 2
  const at = ((cx - row.x) * row.dx + (cy - row.y) * row.dy + (cz - row.z) * row.dz) / size
  const n = Math.min(count, Math.max(0, at))
  return Math.hypot(row.x + n * row.dx - cx, row.y + n * row.dy - cy, row.z + n * row.dz - cz)
}
