import { transformDirection, transformPoint, type Vec3, type WorldPoint } from '../space/index.js'
import { createSampler } from './sampler.js'
import type { Volume } from './volume.js'

/**
 * A rectangle of pixels in patient space. Pixel (0, 0) has its centre at `origin`; `du` and `dv` are the steps in mm
 * to the next column and the next row.
 */
export interface ImagePlane {
  readonly origin: WorldPoint
  readonly du: Vec3
  readonly dv: Vec3
  readonly width: number
  readonly height: number
}

/**
 * The trilinear grey values on a plane, row by row, NaN outside the scan or in no data.
 * @param out reused when given; its length must be width x height.
 */
export function reslice(volume: Volume, plane: ImagePlane, out?: Float32Array): Float32Array {
  const { width, height } = plane
  const pixels = out ?? new Float32Array(width * height)
  if (pixels.length !== width * height)
    throw new RangeError(`a ${width} x ${height} plane needs ${width * height} pixels, got ${pixels.length}`)
  const sample = createSampler(volume)
  const start = transformPoint(volume.worldToIndex, plane.origin)
  const du = transformDirection(volume.worldToIndex, plane.du)
  const dv = transformDirection(volume.worldToIndex, plane.dv)
  for (let v = 0; v < height; v++) {
    const i = start[0] + v * dv[0]
    const j = start[1] + v * dv[1]
    const k = start[2] + v * dv[2]
    const row = v * width
    for (let u = 0; u < width; u++) pixels[row + u] = sample(i + u * du[0], j + u * du[1], k + u * du[2])
  }
  return pixels
}
