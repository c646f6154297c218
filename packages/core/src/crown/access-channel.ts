import type { Mat4, Vec3 } from '../space/index.js'
import { transformPoint } from '../space/index.js'
import { axisAlong, onAxis } from '../space/mesh-tree-axis.js'
import { fixtureLine } from './access-exit.js'
import { channelOpening } from './channel-opening.js'
import { type ChannelQuestion, channelLimits } from './channel-question.js'
import type { AccessChannel, ChannelWall, WallAt } from './channel-result.js'
import { runChannel } from './channel-run.js'
import { channelSurface } from './channel-surface.js'
import { channelWall } from './channel-wall.js'

/**
 * The straight access channel through a crown: a cylinder round the fixture axis from the platform on, the opening
 * that it cuts, and how much crown is left beside it.
 *
 * The outline joins the places where 72 lines along the wall leave the crown for the last time. Lines that miss it,
 * or leave by a part of its surface that does not hang together with the axis' exit inside the channel, are no part
 * of the outline: there the channel is open at a side, and `closedShare` counts them. Area and centroid are those of
 * the surface inside the channel, not of a plane across it.
 *
 * @throws RangeError as `accessExit`, and when the channel's diameter is no length.
 */
export function accessChannel(question: ChannelQuestion): AccessChannel {
  const { channelDiameterMm } = channelLimits(question)
  const { platform, coronal } = fixtureLine(question)
  const surface = channelSurface(question.crown)
  const run = runChannel(surface, axisAlong(platform, coronal, [1, 0, 0]), channelDiameterMm / 2)
  const opening = run ? channelOpening(surface, run) : null
  if (run === null || opening === null)
    return {
      diameterMm: channelDiameterMm,
      outline: null,
      closedShare: 0,
      areaMm2: null,
      centroid: null,
      wall: null,
    }
  const toWorld = (p: Vec3): Vec3 => transformPoint(question.pose, p)
  const wall = channelWall(surface, run)
  return {
    diameterMm: channelDiameterMm,
    outline: opening.closed.map(({ u, v, exitMm }) => toWorld(onAxis(run.axis, u, v, exitMm))),
    closedShare: opening.closed.length / run.lines.length,
    areaMm2: opening.areaMm2,
    centroid: toWorld(opening.centroid),
    wall: wall ? wallInWorld(wall, question.pose) : null,
  }
}

/** A wall with its places moved from the crown frame to LPS mm. */
export function wallInWorld(wall: ChannelWall, pose: Mat4): ChannelWall {
  const moved = ({ mm, at }: WallAt): WallAt => ({ mm, at: transformPoint(pose, at) })
  const maybe = (side: WallAt | null): WallAt | null => (side ? moved(side) : null)
  const { facial, oral, mesial, distal, edge } = wall.bySide
  return {
    ...moved(wall),
    region: wall.region,
    bySide: {
      facial: maybe(facial),
      oral: maybe(oral),
      mesial: maybe(mesial),
      distal: maybe(distal),
      edge: maybe(edge),
    },
    toEdge: moved(wall.toEdge),
    toMesialContact: moved(wall.toMesialContact),
    toDistalContact: moved(wall.toDistalContact),
  }
}
