import type { Vec3 } from '../space/index.js'
import { type NearestToAxis, nearestFacingAway, onAxis } from '../space/mesh-tree-axis.js'
import type { ChannelWall, WallAt, WallSide } from './channel-result.js'
import { type ChannelRun, exitRange, lowestEntry } from './channel-run.js'
import { type ChannelSurface, WALL_SIDES } from './channel-surface.js'
import { wallToLine, wallToPoint } from './channel-wall-line.js'

/** The straight part of a bent channel, and the height along it where it bends, mm. */
export interface BelowBend {
  readonly run: ChannelRun
  readonly toMm: number
}

/** A stretch of a channel that has a wall all round, heights in mm along its axis. */
interface Stretch {
  readonly run: ChannelRun
  readonly fromMm: number
  readonly toMm: (side: WallSide) => number
}

/**
 * How much crown is left round a channel: rho - r for the places of the crown's surface that face away from the
 * channel's axis, rho being their distance from it. Going straight out from the channel the crown ends there; what
 * faces the axis (the flanks of a cusp beside a hole in the groove) ends nothing. Counted are places from the lowest
 * entry of the channel up to
 * - the highest point of its outline, on all faces but the one that the axis leaves by;
 * - one diameter of the channel below the lowest point of its outline on that face: nearer to its opening the wall
 *   runs out to nothing of itself, and says nothing of its strength.
 * The base is left out: the channel comes in there.
 *
 * `below`: the straight part of a bent channel; its wall is counted on all faces up to the bend. Distances to the edge
 * and the contacts are those of the upper part. Places are in the crown frame. Null when the channel leaves by the
 * base or no face lies beside it.
 */
export function channelWall(
  surface: ChannelSurface,
  run: ChannelRun,
  below: BelowBend | null = null,
): ChannelWall | null {
  const upper = upperStretch(surface, run)
  if (upper === null) return null
  const stretches = below ? [upper, lowerStretch(below)] : [upper]
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

/** The thinnest place of a straight channel's wall alone, mm: `channelWall(...).mm`. */
export function leastWallMm(surface: ChannelSurface, run: ChannelRun): number | null {
  const stretch = upperStretch(surface, run)
  if (stretch === null) return null
  let nearest = Number.POSITIVE_INFINITY
  for (const side of WALL_SIDES) nearest = nearestOn(surface, stretch, side, nearest)?.distance ?? nearest
  return Number.isFinite(nearest) ? nearest - run.radiusMm : null
}

/** Whether the wall of the upper part is `leastMm` or more everywhere: as `channelWall` tells, but sooner. */
export function wallHolds(surface: ChannelSurface, run: ChannelRun, leastMm: number): boolean {
  const stretch = upperStretch(surface, run)
  return stretch !== null && stretchHolds(surface, stretch, leastMm)
}

/** The same of what lies below a bend. */
export const straightHolds = (surface: ChannelSurface, below: BelowBend, leastMm: number): boolean =>
  stretchHolds(surface, lowerStretch(below), leastMm)

/**
 * False when the wall of a channel is surely too thin, told from fewer of its lines: between these the channel comes in
 * lower and goes out higher still, so that the other faces have at least the places looked at here.
 */
export function mayHold(surface: ChannelSurface, run: ChannelRun, leastMm: number): boolean {
  const stretch = upperStretch(surface, run)
  if (stretch === null) return true
  const own = surface.faces[run.middle.triangle]
  return stretchHolds(
    surface,
    stretch,
    leastMm,
    WALL_SIDES.filter((side) => side !== own),
  )
}

const stretchHolds = (
  surface: ChannelSurface,
  stretch: Stretch,
  leastMm: number,
  sides = WALL_SIDES,
): boolean =>
  sides.every((side) => nearestOn(surface, stretch, side, stretch.run.radiusMm + leastMm) === null)

function upperStretch(surface: ChannelSurface, run: ChannelRun): Stretch | null {
  const own = surface.faces[run.middle.triangle]
  const exits = exitRange(surface, run)
  if (own === 'base' || exits === null) return null
  const ownTop = exits.low - 2 * run.radiusMm
  return { run, fromMm: lowestEntry(run), toMm: (side) => (side === own ? ownTop : exits.high) }
}

const lowerStretch = ({ run, toMm }: BelowBend): Stretch => ({
  run,
  fromMm: lowestEntry(run),
  toMm: () => toMm,
})

const nearestOn = (
  surface: ChannelSurface,
  { run, fromMm, toMm }: Stretch,
  side: WallSide,
  withinMm?: number,
): NearestToAxis | null => nearestFacingAway(surface.byFace[side], run.axis, fromMm, toMm(side), withinMm)

const onRun = ({ axis }: ChannelRun, [u, v, height]: Vec3): Vec3 => onAxis(axis, u, v, height)

const least = <W extends WallAt>(walls: readonly W[]): W | null =>
  walls.reduce<W | null>((best, wall) => (best === null || wall.mm < best.mm ? wall : best), null)
