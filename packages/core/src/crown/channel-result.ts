import type { Vec3 } from '../space/index.js'
import type { ExitLimits } from './access-exit.js'
import type { CrownRegion } from './crown.js'

/** What an access channel is held against. */
export interface ChannelLimits extends ExitLimits {
  /** Diameter of the channel, mm; 2.0 to 3.5 in use. */
  readonly channelDiameterMm: number
  /** Least wall of the crown round the channel, mm. */
  readonly leastWallMm: number
  /** Greatest bend of an angled channel, degrees. */
  readonly correctionDeg: number
}

/** Distance from the channel's wall to a place of the crown, mm; negative where the channel breaks through it. */
export interface WallAt {
  readonly mm: number
  /** The place on the crown, LPS mm. */
  readonly at: Vec3
}

export type WallSide = Exclude<CrownRegion, 'base'>

/** How much crown is left round a channel. Distances are from the channel's wall; see `channelWall` for what is left out. */
export interface ChannelWall extends WallAt {
  readonly region: WallSide
  /** The least one on each face; null where the channel passes no part of it. */
  readonly bySide: Readonly<Record<WallSide, WallAt | null>>
  /** To the incisal-edge line; on posterior teeth to the outline of the occlusal table. */
  readonly toEdge: WallAt
  readonly toMesialContact: WallAt
  readonly toDistalContact: WallAt
}

/** The opening of a straight channel and what is left round it. */
export interface AccessChannel {
  readonly diameterMm: number
  /** The exit's outline on the crown, a closed curve without its first point repeated, LPS mm; null when the axis misses. */
  readonly outline: readonly Vec3[] | null
  /** Share of the channel's wall lines that leave through the crown: below 1 the channel is open at a side. */
  readonly closedShare: number
  /** Of the crown's surface inside the outline. */
  readonly areaMm2: number | null
  /** Area centroid of that surface, LPS mm. */
  readonly centroid: Vec3 | null
  readonly wall: ChannelWall | null
}

/** One bent channel: straight from the pivot to its exit. */
export interface Bend {
  /** Between the fixture axis and the channel above the pivot. */
  readonly correctionDeg: number
  /** LPS mm. */
  readonly exit: Vec3
  readonly wall: ChannelWall | null
}

/** What an angled channel can do for a crown. */
export interface AngledChannel {
  /** The bend, LPS mm; null when the axis does not run coronally. */
  readonly pivot: Vec3 | null
  readonly limitDeg: number
  /** The least bend whose exit lies in the wanted zone; 0 degrees when a straight one does; null when none up to 60 degrees does. */
  readonly least: Bend | null
  /** The same with `leastWallMm` kept all round; null when none does. */
  readonly leastWithWall: Bend | null
  /** Where channels bent by exactly the limit leave the crown, a closed contour, LPS mm; null where one misses it. */
  readonly reachable: readonly Vec3[] | null
}
