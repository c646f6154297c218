import type { Vec3, VoxelArray } from '@alveometer/core'
import { type Circle, fitCircle, type PlanePoint } from './circle.js'
import { floodFromCorners } from './flood.js'

/** The part of every slice that was never reconstructed. */
export interface OutsideField {
  /** The one value all its voxels hold. */
  readonly value: number
  /** 1 for each pixel of a slice that lies outside the field. */
  readonly mask: Uint8Array
  readonly radiusMm: number
}

/** The edge of a field drawn on a grid may miss the true circle by about a pixel diagonal. */
const TOLERANCE_PIXELS = 1.5
/** Part of the circle that must show as an edge over the whole stack, and in every single slice. */
const SEEN_IN_STACK = 0.6
const SEEN_IN_SLICE = 1 / 3
/** A reconstructed field spans the image; a round object in front of clipped air rarely does. */
const SMALLEST_PART_OF_IMAGE = 0.9
/** Just inside its edge a reconstruction is noisy; a drawn disc is not. */
const FEWEST_DISTINCT_VALUES = 16

/**
 * Finds the surroundings of a round reconstruction field that the file does not declare as padding: one exact value
 * in all corners of all slices, ending at one circle in all slices, with noise inside it. Null in any doubt: real air,
 * even clipped to one value, must stay. Only pixels outside the circle are taken.
 * @param planes the slices to look at.
 */
export function findOutsideField(
  data: VoxelArray,
  [nx, ny]: Vec3,
  spacingMm: Vec3,
  planes: readonly number[],
): OutsideField | null {
  const perSlice = nx * ny
  const value = data[(planes[0] ?? 0) * perSlice] as number
  for (const k of planes)
    for (const corner of [0, nx - 1, perSlice - nx, perSlice - 1])
      if (data[k * perSlice + corner] !== value) return null
  const constant = constantColumns(data, perSlice, planes, value)
  const outside = floodFromCorners(constant, nx, ny)
  const [sx, sy] = spacingMm
  const tolerance = TOLERANCE_PIXELS * Math.max(sx, sy)
  // About three edge pixels fall into each sector of a circle that spans the image.
  const sectors = Math.min(nx, ny)
  const edge = outermost(edgePixels(outside, nx, ny), nx, sx, sy, sectors)
  const circle = fitCircle(edge, tolerance)
  if (!circle || !spansImage(circle, nx * sx, ny * sy)) return null
  const offCircle = edge.map((p) => Math.hypot(p.x - circle.x, p.y - circle.y) - circle.radius)
  if (offCircle.some((d) => d > tolerance)) return null
  if (offCircle.filter((d) => d > -tolerance).length < SEEN_IN_STACK * sectors) return null
  const radiusMm = circle.radius + Math.max(...offCircle)
  const distance = (p: number) => Math.hypot((p % nx) * sx - circle.x, Math.floor(p / nx) * sy - circle.y)
  const rim: number[] = []
  const mask = new Uint8Array(perSlice)
  for (let p = 0; p < perSlice; p++) {
    const d = distance(p)
    if (d > radiusMm + 1e-6 && outside[p]) mask[p] = 1
    if (d <= radiusMm && d > radiusMm - 2 * tolerance) rim.push(p)
  }
  return rimIsReconstructed(data, perSlice, planes, rim, value) ? { value, mask, radiusMm } : null
}

function constantColumns(
  data: VoxelArray,
  perSlice: number,
  planes: readonly number[],
  value: number,
): Uint8Array {
  const constant = new Uint8Array(perSlice).fill(1)
  for (const k of planes) {
    const start = k * perSlice
    for (let p = 0; p < perSlice; p++) if (data[start + p] !== value) constant[p] = 0
  }
  return constant
}

/** Pixels of the field with a neighbour outside it. */
function edgePixels(outside: Uint8Array, nx: number, ny: number): number[] {
  const edge: number[] = []
  for (let j = 0; j < ny; j++)
    for (let i = 0; i < nx; i++) {
      const p = j * nx + i
      if (outside[p]) continue
      const atEdge =
        (i > 0 && outside[p - 1]) ||
        (i < nx - 1 && outside[p + 1]) ||
        (j > 0 && outside[p - nx]) ||
        (j < ny - 1 && outside[p + nx])
      if (atEdge) edge.push(p)
    }
  return edge
}

/** The farthest edge pixel of each sector around the middle of the edge, in mm. */
function outermost(
  edge: readonly number[],
  nx: number,
  sx: number,
  sy: number,
  sectors: number,
): PlanePoint[] {
  const points = edge.map((p) => ({ x: (p % nx) * sx, y: Math.floor(p / nx) * sy }))
  const xs = points.map((p) => p.x)
  const ys = points.map((p) => p.y)
  const middle = (v: readonly number[]) =>
    (v.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY) +
      v.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)) /
    2
  const [mx, my] = [middle(xs), middle(ys)]
  const farthest = new Map<number, { point: PlanePoint; d: number }>()
  for (const point of points) {
    const d = Math.hypot(point.x - mx, point.y - my)
    const sector =
      Math.floor(((Math.atan2(point.y - my, point.x - mx) / Math.PI + 1) / 2) * sectors) % sectors
    if (d > (farthest.get(sector)?.d ?? -1)) farthest.set(sector, { point, d })
  }
  return [...farthest.values()].map((f) => f.point)
}

const spansImage = ({ radius }: Circle, width: number, height: number) =>
  2 * radius >= SMALLEST_PART_OF_IMAGE * Math.min(width, height) && radius < Math.hypot(width, height) / 2

function rimIsReconstructed(
  data: VoxelArray,
  perSlice: number,
  planes: readonly number[],
  rim: readonly number[],
  value: number,
): boolean {
  const distinct = new Set<number>()
  for (const k of planes) {
    let other = 0
    for (const p of rim) {
      const v = data[k * perSlice + p] as number
      if (v === value) continue
      other++
      if (distinct.size < FEWEST_DISTINCT_VALUES) distinct.add(v)
    }
    if (other < SEEN_IN_SLICE * rim.length) return false
  }
  return distinct.size >= FEWEST_DISTINCT_VALUES
}
