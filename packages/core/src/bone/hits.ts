/**
 * What a ray of the margin map found. `bone`: a number. `axis-outside`: the axis itself is outside bone there.
 * `no-surface`: no outer surface within range. `no-data`: the ray meets voxels that were not scanned first;
 * nothing is read across them, however few.
 */
export type RayState = 'bone' | 'axis-outside' | 'no-surface' | 'no-data'

/** The outer bone surface seen from the axis: one ray per depth and angle, row by row. */
export interface SurfaceHits {
  readonly rows: number
  readonly columns: number
  readonly states: RayState[]
  /** Distance from the axis to the outer surface, mm; NaN where the state is not `bone`. */
  readonly radiusMm: Float64Array
  /** How far from the axis a ray without a number runs through bone, to where data ends or nothing more is looked for, mm. */
  readonly followedMm: Float64Array
  /** Points of the outer surface, xyz LPS mm; NaN where there is none. */
  readonly points: Float64Array
}

/** What the march keeps for the correction: outward normals and the height of the blurred peak behind each hit. */
export interface Traces {
  readonly normals: Float64Array
  readonly peaks: Float64Array
}
