import {
  dot,
  fixtureFrame,
  type PlacedCrown,
  type Plan,
  subtract,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import { placeKey, placeName } from '../crown-form/gap.js'
import type { NeighbourPlace } from '../events.js'
import { markNeighbour, siteFrame } from '../session/index.js'
import type { Goal } from './pointing.js'
import type { Workbench } from './workbench.js'

/**
 * A place on a neighbouring tooth is asked for. The collar goes where it lies meanwhile: to the contacts of the planned
 * crown, or to its cervical centre.
 */
export function neighbourGoal(bench: Workbench, place: NeighbourPlace): Goal {
  const { plan } = bench.session
  return {
    key: placeKey(place),
    words: `Point at the ${placeName(place)} (Page Up, Page Down: another slice)`,
    take: ({ centre }) => {
      const next = markNeighbour(bench.session.plan, place.side, place.mark, centre)
      bench.move({ phase: 'step', plan: next })
      return null
    },
    asked: () => bench.raiseCollar(depthOf(plan, levelOf(plan, bench.crowns.placed(plan), place))),
    left: () => bench.raiseCollar(null),
  }
}

/** A point at the height where the place is to be looked for. */
function levelOf(plan: Plan, placed: PlacedCrown | null, { side, mark }: NeighbourPlace): Vec3 {
  if (mark === 'cej' || placed === null) return siteFrame(plan).origin
  const { mesialContact, distalContact } = placed.crown.landmarks
  return transformPoint(placed.pose, side === 'mesial' ? mesialContact : distalContact)
}

function depthOf({ fixture, site }: Plan, at: Vec3): number {
  const { origin, z } = fixtureFrame(fixture, site.facial)
  return dot(subtract(at, origin), z)
}
