import { along, type ImagePlane, reslice, scale, type Volume } from '@alveometer/core'
import type { ProbeRequest, ProbeResult } from './protocol.js'

/** Samples across the disc: closer than any voxel needs. */
const across = 21

/** Mean and SD of the grey in a disc of the source voxels; null where some of it is no data or outside the scan. */
export function probe(volume: Volume, { centre, right, down, diameterMm }: ProbeRequest): ProbeResult | null {
  const stepMm = diameterMm / (across - 1)
  const corner = along(along(centre, right, -diameterMm / 2), down, -diameterMm / 2)
  const plane: ImagePlane = {
    origin: corner,
    du: scale(right, stepMm),
    dv: scale(down, stepMm),
    width: across,
    height: across,
  }
  const half = (across - 1) / 2
  const inside = [...reslice(volume, plane)].filter(
    (_, n) => Math.hypot((n % across) - half, Math.floor(n / across) - half) <= half,
  )
  if (inside.some(Number.isNaN)) return null
  const mean = inside.reduce((sum, grey) => sum + grey, 0) / inside.length
  const variance = inside.reduce((sum, grey) => sum + (grey - mean) ** 2, 0) / inside.length
  return { mean, sd: Math.sqrt(variance) }
}
