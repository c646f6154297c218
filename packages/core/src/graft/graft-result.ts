import type { Mesh, Vec3 } from '../space/index.js'

/**
 * What a field is drawn from, node by node as its other arrays: where a graft begins or ends, its gap passes through zero
 * on a straight line between nodes.
 */
export interface GraftGround {
  /** Distance from the axis of bone's outside or, where that lies farther out, the fixture's side, mm. */
  readonly baseMm: Float64Array
  /** What lies on the base as built and after the loss, mm; negative where bone already reaches farther; NaN: not known. */
  readonly builtMm: Float64Array
  readonly keptMm: Float64Array
  /** Where bone farther out, or a tooth, begins, mm from the axis; infinite where nothing does. */
  readonly ceilingMm: Float64Array
  /** Where that bone ends again, mm from the axis; 0 where there is none, infinite where it goes on beyond range. */
  readonly farMm: Float64Array
  /** The fixture's own radius at each depth, mm. */
  readonly fixtureMm: Float64Array
}

/**
 * A graft round a fixture as two surfaces over rays perpendicular to the fixture's axis, row by row (depths down, angles
 * across): what it lies on and how far it reaches. Where nothing is grafted both are NaN.
 */
export interface GraftField {
  /** Depths below the platform, mm, evenly spaced; they may begin above the platform and end past the apex. */
  readonly depthsMm: readonly number[]
  /** 0 = facial, growing towards +y of the fixture frame; evenly spaced all the way round. */
  readonly anglesDeg: readonly number[]
  /** Distance from the axis of the bone (or, where the fixture stands out of it, of the fixture) under the graft, mm. */
  readonly innerMm: Float64Array
  /** Distance from the axis of the graft's outside, mm. */
  readonly outerMm: Float64Array
  /** The same after the expected loss, mm; never below innerMm. */
  readonly keptMm: Float64Array
  readonly ground: GraftGround
  /** Rays of the margin without data as far as the graft was to reach: nothing is planned there. */
  readonly openRays: number
  /** How far a natural contour leaves less than wanted after the loss, at most, mm; 0 where it does not. */
  readonly cappedMm: number
}

/** What a graft comes to. 1000 mm3 = 1 cc. */
export interface GraftSize {
  readonly volumeMm3: number
  /** Greatest and mean thickness along the rays, mm; the mean over the footprint. */
  readonly greatestMm: number
  readonly meanMm: number
  /** Area of bone and fixture that it covers, mm2. */
  readonly footprintMm2: number
  /** From its most coronal to its most apical place, along the fixture's axis, mm. */
  readonly heightMm: number
}

export interface GraftMeshes {
  /** Closed, wound outward, LPS mm; as it is built. */
  readonly built: Mesh
  /** What is expected to remain. */
  readonly kept: Mesh
}

/** Closed lines of a graft in a plane through the fixture's axis, LPS mm. */
export interface GraftOutlines {
  readonly built: readonly (readonly Vec3[])[]
  readonly kept: readonly (readonly Vec3[])[]
}

/** Whether bone stands on a side of the defect as high as the graft begins, and what was measured of it. */
export interface GraftWall {
  readonly side: 'facial' | 'oral' | 'mesial' | 'distal'
  readonly stands: boolean
  /** Share of that side's rays over the graft's height that end in bone beyond the fixture. */
  readonly share: number
}

export interface GraftWalls {
  readonly sides: readonly GraftWall[]
  /** How many of the four stand. */
  readonly count: number
}
