import { toIndex, toWorld, type Vec3, type WorldPoint } from '../space/index.js'
import type { Volume } from './volume.js'

/** A box of whole voxels: first index and count along each axis. */
export interface IndexBox {
  readonly start: Vec3
  readonly shape: Vec3
}

/**
 * The smallest box of voxels that holds all points with `padMm` to spare, clipped to the volume.
 * Null when nothing of it lies inside.
 */
export function boxAround(volume: Volume, points: readonly WorldPoint[], padMm: number): IndexBox | null {
  const indices = points.map((p) => toIndex(volume.worldToIndex, p))
  const start: [number, number, number] = [0, 0, 0]
  const shape: [number, number, number] = [0, 0, 0]
  for (const axis of [0, 1, 2] as const) {
    const pad = padMm / volume.spacingMm[axis]
    const low = Math.max(0, Math.floor(Math.min(...indices.map((p) => p[axis])) - pad))
    const high = Math.min(volume.shape[axis] - 1, Math.ceil(Math.max(...indices.map((p) => p[axis])) + pad))
    if (high < low) return null
    start[axis] = low
    shape[axis] = high - low + 1
  }
  return { start, shape }
}

/** The part of a volume inside a box, as a view: same voxels, own shape and geometry. Nothing is copied. */
export function subVolume(volume: Volume, box: IndexBox): Volume {
  const end = box.start.map((s, a) => s + box.shape[a])
  if (box.start.some((s) => s < 0) || end.some((e, a) => e > volume.shape[a]))
    throw new RangeError(
      `box ${box.start.join(',')} + ${box.shape.join(',')} leaves ${volume.shape.join(' x ')}`,
    )
  const [ox, oy, oz] = toWorld(volume.indexToWorld, box.start)
  const indexToWorld = [...volume.indexToWorld.slice(0, 12), ox, oy, oz, 1]
  const shift = toIndex(volume.worldToIndex, [0, 0, 0])
  const worldToIndex = [...volume.worldToIndex.slice(0, 12), ...shift.map((s, a) => s - box.start[a]), 1]
  const [sx, sy, sz] = volume.stride
  const offset = volume.offset + box.start[0] * sx + box.start[1] * sy + box.start[2] * sz
  return { ...volume, shape: box.shape, offset, indexToWorld, worldToIndex }
}
