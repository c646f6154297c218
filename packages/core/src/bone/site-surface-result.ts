import type { Vec3 } from '../space/index.js'
import type { BoneModel } from './model.js'

/** What a node of a site surface is. */
export const NODE_BONE = 0
export const NODE_OUTSIDE = 1
export const NODE_UNSCANNED = 2

/**
 * The surface of bone round a site, found once, as a field of signed distances on a cubic grid along the LPS axes: for
 * measuring thousands of poses. Node (i, j, k), x fastest, lies at originMm + stepMm (i, j, k).
 */
export interface SiteSurface {
  readonly model: BoneModel
  readonly originMm: Vec3
  readonly stepMm: number
  readonly shape: Vec3
  /**
   * Distance to where bone ends, mm: positive in bone (marrow and enclosed voids are bone), negative outside. Bone ends at
   * its outer surface, at a mask, or where nothing was scanned.
   */
  readonly distanceMm: Float32Array
  /** NODE_BONE, NODE_OUTSIDE or NODE_UNSCANNED. */
  readonly kinds: Uint8Array
  /**
   * Share of the cortical contrast at a node of bone, 64 to the whole of it, 0 to 255: dentine and enamel lie above bone. 0 at
   * the other nodes, and where data is missing.
   */
  readonly hardness: Uint8Array
}
