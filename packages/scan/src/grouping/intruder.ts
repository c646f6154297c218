import { angleDeg, cross, dot, length, type Vec3 } from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { block, type ReportEntry } from '../report/index.js'

/** A plane this far from parallel to the stack is another view, not a slice of it. */
const OTHER_VIEW_DEG = 45

/**
 * Images of other size, spacing or direction that sit where the stack wants a slice: at a free place inside it or
 * just beyond its ends. Leaving them out silently would shorten the scan or hide a gap.
 */
export function findIntruders(stack: readonly SliceHeader[], others: readonly SliceHeader[]): ReportEntry[] {
  const normal = normalOf(stack[0])
  if (!normal) return []
  const places = stack.flatMap((h) => (h.position ? [dot(h.position, normal)] : [])).sort((a, b) => a - b)
  const first = places[0]
  const last = places.at(-1)
  if (first === undefined || last === undefined || last <= first) return []
  const step = (last - first) / (places.length - 1)
  return others.flatMap((other) => {
    const direction = normalOf(other)
    if (!direction || !other.position || angleDeg(direction, normal) > OTHER_VIEW_DEG) return []
    const place = dot(other.position, normal)
    const inStack = place > first - 1.5 * step && place < last + 1.5 * step
    if (!inStack || places.some((p) => Math.abs(p - place) < step / 2)) return []
    const { rows, columns } = other.layout
    const message =
      `${other.file} (${columns} x ${rows}) lies in the stack but differs from the other slices in size, pixel spacing ` +
      'or orientation. Export the series again in one piece.'
    return [block('slice-differs', message, [other.file])]
  })
}

function normalOf(header: SliceHeader | undefined): Vec3 | null {
  if (!header?.rowDirection || !header.columnDirection) return null
  const normal = cross(header.rowDirection, header.columnDirection)
  const size = length(normal)
  return size > 0.5 ? [normal[0] / size, normal[1] / size, normal[2] / size] : null
}
