import { along, distance, length, type Vec3 } from '@alveometer/core'
import { type ReportEntry, warn } from '../report/index.js'

/** What is needed of a series to see that it is one half of a stack. */
interface Half {
  readonly seriesUid: string
  readonly shape: Vec3
  readonly origin: Vec3
  readonly step: Vec3
}

/**
 * Two series whose slices lie exactly between each other's are one scan written under two UIDs: each alone loads
 * without a fault, with half the slices.
 */
export function findInterleaved(series: readonly Half[]): ReadonlyMap<string, ReportEntry> {
  const found = new Map<string, ReportEntry>()
  for (const a of series)
    for (const b of series) {
      if (a.seriesUid === b.seriesUid || !fitsBetween(a, b)) continue
      const message = `Its slices lie exactly between those of series ${b.seriesUid}: one scan was probably written as two series, each with half the slices. Export it again as one.`
      found.set(a.seriesUid, warn('interleaved-series', message))
    }
  return found
}

function fitsBetween(a: Half, b: Half): boolean {
  const step = length(a.step)
  const near = 0.1 * step
  if (a.shape[0] !== b.shape[0] || a.shape[1] !== b.shape[1]) return false
  if (Math.abs(a.shape[2] - b.shape[2]) > 1 || distance(a.step, b.step) > near) return false
  const half = (k: number) => distance(b.origin, along(a.origin, a.step, k))
  return Math.min(half(0.5), half(-0.5)) < near
}
