import type { Vec3 } from '../space/index.js'
import { type NearestToAxis, nearestToAxis, onAxis } from '../space/mesh-tree-axis.js'
import type { ChannelWall, WallAt, WallSide } from './channel-result.js'
import { type ChannelRun, exitRange, lowestEntry, type WallLine } from './channel-run.js'
import { type ChannelSurface, WALL_SIDES } from './channel-surface.js'
import { wallToLine, wallToPoint } from './channel-wall-line.js'

/** A stretch of a channel that has a wall all round, heights in mm along its axis. */
interface Stretch {
  readonly run: ChannelRun
  readonly fromMm: number
  readonly toMm: (side: WallSide) => number
}

/**
 * How much crown is left round a channel: rho - r for the places of the crown's surface, rho being the distance from
 * the channel's axis. Counted are places from the lowest entry of the channel up to
 * - the highest point of its outline, on all faces but the one that the axis leaves by;
 * - one diameter of the channel below the lowest point of its outline on that face: nearer to its opening the wall
 *   runs out to nothing of itself, and says nothing of its strength.
 * The base is left out: the channel comes in there.
 *
 * `below`: the straight part of a bent channel, with the height along it where it bends; its wall is counted on all
 * faces up to there. Distances to the edge and the contacts are those of the upper part.
 * Places are in the crown frame. Null when the channel leaves by the base or no face lies beside it.
 */
export function channelWall(
  surface: ChannelSurface,
  run: ChannelRun,
  closed: readonly WallLine[],
  below?: { readonly run: ChannelRun; readonly toMm: number },
): ChannelWall | null {
  const stretches = stretchesOf(surface, run, closed, below)
  if (stretches === null) return null
  const nearest = (side: WallSide): WallAt | null => {
    const found = stretches.flatMap((stretch): WallAt[] => {
      const place = nearestOn(surface, stretch, side)
      return place ? [{ mm: place.distance - stretch.run.radiusMm, at: onRun(stretch.run, place.at) }] : []
    })
    return least(found)
  }
  const bySide = {
    facial: nearest('facial'),
    oral: nearest('oral'),
    mesial: nearest('mesial'),
    distal: nearest('distal'),
    edge: nearest('edge'),
  }
  const all = WALL_SIDES.flatMap((region) => {
    const wall = bySide[region]
    return wall ? [{ ...wall, region }] : []
  })
  const thinnest = least(all)
  if (thinnest === null) return null
  const { mesialContact, distalContact } = surface.crown.landmarks
  return {
    ...thinnest,
    bySide,
    toEdge: wallToLine(run, surface.edge),
    toMesialContact: wallToPoint(run, mesialContact),
    toDistalContact: wallToPoint(run, distalContact),
  }
}

/** Whether the wall is `leastMm` or more everywhere: as `channelWall` tells, but sooner. */
export function wallHolds(
  surface: ChannelSurface,
  run: ChannelRun,
  closed: readonly WallLine[],
  leastMm: number,
  below?: { readonly run: ChannelRun; readonly toMm: number },
): boolean {
  const stretches = stretchesOf(surface, run, closed, below)
  if (stretches === null) return false
  return stretches.every((stretch) =>
    WALL_SIDES.every((side) => nearestOn(surface, stretch, side, stretch.run.radiusMm + leastMm) === null),
  )
}

function stretchesOf(
  { faces }: ChannelSurface,
  run: ChannelRun,
  closed: readonly WallLine[],
  below?: { readonly run: ChannelRun; readonly toMm: number },
): readonly Stretch[] | null {
  const own = faces[run.middle.triangle]
  if (own === 'base' || closed.length === 0) return null
  const { low, high } = exitRange(closed)
  const ownTop = low - 2 * run.radiusMm
  const upper = { run, fromMm: lowestEntry(run), toMm: (side: WallSide) => (side === own ? ownTop : high) }
  if (!below) return [upper]
  return [upper, { run: below.run, fromMm: lowestEntry(below.run), toMm: () => below.toMm }]
}

const nearestOn = (
  surface: ChannelSurface,
  { run, fromMm, toMm }: Stretch,
  side: WallSide,
  withinMm?: number,
): NearestToAxis | null => nearestToAxis(surface.byFace[side], run.axis, fromMm, toMm(side), withinMm)

const onRun = ({ axis }: ChannelRun, [u, v, height]: Vec3): Vec3 => onAxis(axis, u, v, height)

const least = <W extends WallAt>(walls: readonly W[]): W | null =>
  walls.reduce<W | null>((best, wall) => (best === null || wall.mm < best.mm ? wall : best), null)
