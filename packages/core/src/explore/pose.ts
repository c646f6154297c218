import type { Vec3 } from '../space/index.js'

/** Where a fixture stands: platform centre in LPS mm and the direction of its axis towards the apex, of any length. */
export interface FixturePose {
  readonly platform: Vec3
  readonly apical: Vec3
}
