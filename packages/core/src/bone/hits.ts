/**
 * What a ray of the margin map found. `bone`: a number. `axis-outside`: the axis itself is outside bone there.
 * `no-surface`: no outer surface within range. `no-data`: the ray meets voxels that were not scanned first;
 * nothing is read across them, however few.
 */
export type RayState = 'bone' | 'axis-outside' | 'no-surface' | 'no-data'

/** What makes the number of a ray less sure; a ray may carry several. */
export type RayFlag =
  /** The plate behind it is thinner than 1.5 sigma of the scan's blur. */
  | 'thin'
  /** It may run through a tooth: the scan cannot show the gap between root and bone. */
  | 'tooth'
  /** The outside reaches it only through an opening about as narrow as the flood's closing: perhaps a pinhole. */
  | 'leak'
  /** The refined fit moved it too far to be believed; the fast number was kept. */
  | 'unrefined'

/** A ray's flags as bits of one number. */
export const FLAG_BITS: Readonly<Record<RayFlag, number>> = { thin: 1, tooth: 2, leak: 4, unrefined: 8 }

/** The flags of a ray by name. */
export const flagsOf = (bits: number): RayFlag[] =>
  (Object.keys(FLAG_BITS) as RayFlag[]).filter((flag) => (bits & FLAG_BITS[flag]) !== 0)

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

/** Some rows of hits as hits of their own; the numbers are shared. */
export function hitRows(hits: SurfaceHits, from: number, rows: number): SurfaceHits {
  const { columns } = hits
  const [start, end] = [from * columns, (from + rows) * columns]
  return {
    rows,
    columns,
    states: hits.states.slice(start, end),
    radiusMm: hits.radiusMm.subarray(start, end),
    followedMm: hits.followedMm.subarray(start, end),
    points: hits.points.subarray(3 * start, 3 * end),
  }
}
