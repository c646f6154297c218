import type { Vec3 } from '../space/index.js'

/** What a person marked on the tooth beside the gap, LPS mm. */
export interface NeighbourMarks {
  /** Its contact surface towards the gap, at the level of the contact to come. */
  readonly contact?: Vec3
  /** Its cemento-enamel junction, mid-facially. */
  readonly cej?: Vec3
}

/** The site to restore: ISO 3950 tooth number, and the facial and coronal directions there (LPS). */
export interface Site {
  readonly tooth: string
  readonly facial: Vec3
  readonly coronal: Vec3
  /** The teeth on both sides of the gap, as far as somebody marked them. */
  readonly neighbours?: { readonly mesial?: NeighbourMarks; readonly distal?: NeighbourMarks }
}
