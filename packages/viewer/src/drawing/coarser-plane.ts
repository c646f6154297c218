import { along, type ImagePlane, scale } from '@alveometer/core'

/** The most pixels of a drawing that one sample may stand for. */
const mostPixels = 4

/**
 * The same rectangle with fewer samples, no closer than `stepMm`: between two voxels there is nothing more to see, the
 * page draws the picture smoothly to its size. A plane that is coarser already comes back as it is.
 */
export function coarserPlane(plane: ImagePlane, stepMm: number): ImagePlane {
  const pixelMm = Math.hypot(...plane.du)
  const factor = Math.min(mostPixels, stepMm / pixelMm)
  if (!(factor > 1)) return plane
  const width = Math.max(1, Math.round(plane.width / factor))
  const height = Math.max(1, Math.round(plane.height / factor))
  const across = plane.width / width
  const down = plane.height / height
  // The outer edges stay: the first sample lies in the middle of its larger pixel.
  const first = along(plane.origin, plane.du, (across - 1) / 2)
  return {
    origin: along(first, plane.dv, (down - 1) / 2),
    du: scale(plane.du, across),
    dv: scale(plane.dv, down),
    width,
    height,
  }
}
