import { facing, passageThrough } from '../space/mesh-tree.js'
import { type Axis, onAxis } from '../space/mesh-tree-axis.js'
import type { ChannelSurface } from './channel-surface.js'

/** Lines along a channel's wall, evenly round it: 5 degrees apart. */
export const WALL_LINES = 72

/** One line of a channel's wall. Heights along the channel from its axis' origin, mm. */
export interface WallLine {
  readonly u: number
  readonly v: number
  /** Where it comes into the crown: 0 when it begins inside. */
  readonly entryMm: number
  readonly exitMm: number
  readonly triangle: number
}

/** A channel through a crown, in the crown frame: its axis, and where that and the wall's lines meet the crown. */
export interface ChannelRun {
  readonly axis: Axis
  readonly radiusMm: number
  readonly middle: WallLine
  /** Null where a line misses the crown. */
  readonly lines: readonly (WallLine | null)[]
}

/** Runs a channel from the axis' origin on; null when the axis misses the crown. */
export function runChannel(
  surface: ChannelSurface,
  axis: Axis,
  radiusMm: number,
  count = WALL_LINES,
): ChannelRun | null {
  const middle = runLine(surface, axis, 0, 0)
  if (middle === null) return null
  const lines = Array.from({ length: count }, (_, n) => {
    const angle = (2 * Math.PI * n) / count
    return runLine(surface, axis, radiusMm * Math.cos(angle), radiusMm * Math.sin(angle))
  })
  return { axis, radiusMm, middle, lines }
}

function runLine(surface: ChannelSurface, axis: Axis, u: number, v: number): WallLine | null {
  const passage = passageThrough(surface.tree, onAxis(axis, u, v, 0), axis.direction)
  if (passage === null) return null
  const { first, last } = passage
  const beginsOutside = facing(surface.crown.mesh, first.triangle, axis.direction) < 0
  return {
    u,
    v,
    entryMm: beginsOutside ? first.distance : 0,
    exitMm: last.distance,
    triangle: last.triangle,
  }
}

/** The lowest place where the channel's axis or a wall line comes into the crown, mm along the channel. */
export const lowestEntry = ({ middle, lines }: ChannelRun): number =>
  lines.reduce((low, line) => (line ? Math.min(low, line.entryMm) : low), middle.entryMm)

/** Lowest and highest of the wall lines' exits that do not lie in the base; null when there are none. */
export function exitRange(
  { faces }: ChannelSurface,
  { lines }: ChannelRun,
): { readonly low: number; readonly high: number } | null {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const line of lines) {
    if (line === null || faces[line.triangle] === 'base') continue
    low = Math.min(low, line.exitMm)
    high = Math.max(high, line.exitMm)
  }
  return low <= high ? { low, high } : null
}
