import type { Vec3 } from '../space/index.js'

/** What of a graft's thickness is expected to resorb: a share of it, 0 to 1, or so many millimetres. */
export type GraftLoss =
  | { readonly kind: 'share'; readonly share: number }
  | { readonly kind: 'mm'; readonly mm: number }

/** Bone brought to the wanted thickness all round the fixture, where it is missing. */
export interface DeficitGraft {
  readonly kind: 'deficit'
  /** Wanted thickness over the fixture on the facial side and on the others, mm. */
  readonly facialMm: number
  readonly otherMm: number
  /** How far coronally it reaches: depth below the platform along the fixture's axis, mm; negative above it. */
  readonly fromDepthMm: number
  /** A smooth outside that tapers at its edges and stays within the neighbours' convexity. */
  readonly natural: boolean
  readonly loss: GraftLoss
  /** Built thicker by the expected loss, so that the wanted thickness is what remains. */
  readonly overbuilt: boolean
}

/** A layer of even thickness laid onto the facial bone; it stays where it is when the fixture moves. */
export interface FreeGraft {
  readonly kind: 'free'
  /** The middle of the bone or fixture surface that it covers, LPS mm. */
  readonly at: Vec3
  /** Across the surface, towards facial, mm. */
  readonly thicknessMm: number
  /** Along the site's coronal direction, mm. */
  readonly heightMm: number
  /** Mesiodistally, mm. */
  readonly widthMm: number
  readonly loss: GraftLoss
}

export type GraftSpec = DeficitGraft | FreeGraft
