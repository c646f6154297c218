import { angleDeg, type Vec3 } from '@alveometer/core'
import { isLocalizer, type SliceHeader } from '../headers/index.js'

/** Images of one series that could lie in one stack: equal size, pixel spacing and orientation. */
export interface Cluster {
  readonly headers: readonly SliceHeader[]
  readonly localizer: boolean
}

// Written with 6 decimals, directions agree to about 1e-4 degrees; a really different plane is whole degrees away.
const SAME_ORIENTATION_DEG = 0.05
// Half of the 5th decimal, in which different writers round.
const SAME_SPACING_MM = 5e-5

/**
 * Splits a series by Image Type LOCALIZER, rows, columns, pixel spacing and orientation; the largest stack first,
 * localizers last. Images that lack any of these stay with the largest stack, so that its checks find them.
 */
export function clusters(headers: readonly SliceHeader[]): Cluster[] {
  const found: SliceHeader[][] = []
  const incomplete: SliceHeader[] = []
  for (const header of headers) {
    if (!header.rowDirection || !header.columnDirection || !header.pixelSpacingMm) incomplete.push(header)
    else {
      const home = found.find((members) => members[0] && sameStack(members[0], header))
      if (home) home.push(header)
      else found.push([header])
    }
  }
  const localizer = (members: readonly SliceHeader[]) => members.every(isLocalizer)
  found.sort((a, b) => Number(localizer(a)) - Number(localizer(b)) || b.length - a.length)
  if (incomplete.length > 0) found[0] ? found[0].push(...incomplete) : found.push(incomplete)
  return found.map((members) => ({ headers: members, localizer: localizer(members) }))
}

function sameStack(a: SliceHeader, b: SliceHeader): boolean {
  return (
    isLocalizer(a) === isLocalizer(b) &&
    a.layout.rows === b.layout.rows &&
    a.layout.columns === b.layout.columns &&
    sameSpacing(a.pixelSpacingMm, b.pixelSpacingMm) &&
    sameDirection(a.rowDirection, b.rowDirection) &&
    sameDirection(a.columnDirection, b.columnDirection)
  )
}

type Spacing = SliceHeader['pixelSpacingMm']

const sameSpacing = (a: Spacing, b: Spacing) =>
  a !== null &&
  b !== null &&
  Math.abs(a[0] - b[0]) <= SAME_SPACING_MM &&
  Math.abs(a[1] - b[1]) <= SAME_SPACING_MM

const sameDirection = (a: Vec3 | null, b: Vec3 | null) =>
  a !== null && b !== null && angleDeg(a, b) <= SAME_ORIENTATION_DEG
