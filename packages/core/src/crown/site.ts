import type { Vec3 } from '../space/index.js'

/** The site to restore: ISO 3950 tooth number, and the facial and coronal directions there (LPS). */
export interface Site {
  readonly tooth: string
  readonly facial: Vec3
  readonly coronal: Vec3
}
