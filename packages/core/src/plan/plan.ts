import type { Vec3 } from '../space/index.js'

/** A fixture's body: a profile of revolution about its axis. Depth 0 is the platform, growing towards the apex. */
export type FixtureShape =
  | { readonly kind: 'cylinder'; readonly diameterMm: number; readonly lengthMm: number }
  | {
      readonly kind: 'tapered'
      readonly diameterMm: number
      readonly apexDiameterMm: number
      readonly lengthMm: number
    }
  /** [depthMm, radiusMm] pairs, depth rising from 0; straight lines between them. */
  | { readonly kind: 'profile'; readonly points: readonly (readonly [number, number])[] }

/** Where a fixture is: platform centre in LPS mm and the unit direction of its axis towards the apex. */
export interface PlannedFixture {
  readonly shape: FixtureShape
  readonly platform: Vec3
  readonly apical: Vec3
}

/** The planned restoration. `pose`: 16 numbers row by row, from the crown frame (or the mesh's own coordinates) to LPS mm. */
export type PlannedCrown =
  | { readonly kind: 'tabulated'; readonly tooth: string; readonly pose: readonly number[] }
  | { readonly kind: 'mesh'; readonly file: string; readonly pose: readonly number[] }

/** The site to restore: ISO 3950 tooth number, and the facial and coronal directions there (LPS). */
export interface Site {
  readonly tooth: string
  readonly facial: Vec3
  readonly coronal: Vec3
}

/** The scan a plan belongs to. No names of persons. */
export interface PlannedScan {
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly fingerprint?: string
}

/** The plan document. Fields this version does not know survive reading and writing. */
export interface Plan {
  readonly schema: 'alveometer-plan'
  readonly version: 1
  readonly scan: PlannedScan
  readonly site: Site
  readonly crown: PlannedCrown
  readonly fixture: PlannedFixture
  readonly structures: readonly unknown[]
  /** Overrides of limits by their code, in the unit of that limit. */
  readonly limits: Readonly<Record<string, number>>
}
