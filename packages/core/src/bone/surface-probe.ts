import type { FixtureFrame, FixtureProfile, SurfaceGrid } from '../fixture/index.js'
import { type LeastDistance, leastSurfaceDistance } from './surface-nearest.js'
import { type BeyondBone, ProbeBeyond } from './surface-probe-beyond.js'
import { type ProbedSurface, ProbeField } from './surface-probe-field.js'
import { type ColumnSectors, probeLayout } from './surface-probe-layout.js'
import { type UnscannedBound, unscannedBound } from './surface-probe-open.js'
import { ProbePose } from './surface-probe-pose.js'
import { ProbeRays } from './surface-probe-rays.js'
import { ProbeTeeth } from './surface-probe-teeth.js'
import { RAY_ENDS, RAY_NO_DATA } from './surface-probe-trace.js'

/** Bone round a fixture at one pose, mm; NaN where there is no number. */
export interface ProbedBone {
  /** Least bone along the rays of each sector. */
  readonly sectorsMm: Float64Array
  /** Least of all rays, negative where the fixture sticks out. */
  radialMm: number
  /** Shortest distance from the fixture's side to the outside of bone, negative where it sticks out; see leastSurfaceDistance. */
  nearestMm: number
  /** Share of the rays, 0 to 1, on which data ends before bone is as thick as the limit. */
  openShare: number
}

/** The rays of the pose that was measured last, for who needs more of them than their least. */
export interface ProbedRays {
  readonly rows: number
  readonly columns: number
  readonly depthsMm: Float64Array
  readonly anglesDeg: readonly number[]
  /** The fixture's radius, row by row, mm. */
  readonly radiiMm: Float64Array
  /** RAY_CLEAR, RAY_ENDS, RAY_AXIS_OUTSIDE, RAY_NO_SURFACE or RAY_NO_DATA, by row and column. */
  readonly states: Uint8Array
  /** Where bone (RAY_ENDS) or data (RAY_NO_DATA) ends, mm from the axis; 0 where the axis is outside. */
  readonly endMm: Float64Array
  /** The end of a ray that was passed over because bone is thick enough, mm from the axis; infinite beyond range. */
  complete(row: number, column: number): number
  /** Whether a ray that ends may run through a tooth. */
  isTooth(row: number, column: number): boolean
  /** What lies on a ray from bone's outside up to a distance from the axis; the same object every time. */
  beyond(row: number, column: number, fromMm: number, toMm: number): BeyondBone
}

/** Measures one shape at pose after pose. Not to be shared by two that measure in turns: it keeps the last pose's rays. */
export interface SurfaceProbe {
  readonly rays: ProbedRays
  /**
   * @param frame of the fixture, LPS mm.
   * @param askedMm by column: the ends of all rays with less bone than that beyond the fixture's side are found too. Null:
   * the least ones are enough.
   * @returns the same object every time.
   */
  measure(frame: FixtureFrame, askedMm: Float64Array | null): ProbedBone
  /** Only the ends of all rays with less bone than is asked: for who wants no least. */
  follow(frame: FixtureFrame, askedMm: Float64Array): void
}

/** By column of the grid. */
export interface ProbeColumns extends ColumnSectors {
  /** Thinner bone than that is missed where data ends, mm; see ProbedBone.openShare. */
  readonly limitsMm: readonly number[]
}

/**
 * A probe of the bone round a fixture: the numbers of `surfaceMargin` on the same grid, without its map. Most rays are not
 * followed: the field says how far bone reaches at least, and blocks of rays that cannot be the least are passed over.
 * @throws RangeError when the grid's angles are not even, a column has no sector or limit, or the surface has no inside.
 */
export function surfaceProbe(
  surface: ProbedSurface,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  columns: ProbeColumns,
): SurfaceProbe {
  return new FieldProbe(surface, profile, grid, columns)
}

class FieldProbe implements SurfaceProbe, ProbedRays {
  readonly rows: number
  readonly columns: number
  readonly depthsMm: Float64Array
  readonly anglesDeg: readonly number[]
  readonly radiiMm: Float64Array
  readonly states: Uint8Array
  readonly endMm: Float64Array
  readonly rays: ProbedRays = this
  readonly #pose: ProbePose
  readonly #rays: ProbeRays
  readonly #nearest: LeastDistance
  readonly #beyond: ProbeBeyond
  readonly #unscanned: UnscannedBound | null
  readonly #teeth: ProbeTeeth
  readonly #limitsMm: Float64Array
  readonly #askedMm: Float64Array
  readonly #found: ProbedBone
  #frame: FixtureFrame | null = null

  constructor(surface: ProbedSurface, profile: FixtureProfile, grid: SurfaceGrid, columns: ProbeColumns) {
    const layout = probeLayout(profile, grid, columns)
    if (columns.limitsMm.length !== layout.columns)
      throw new RangeError(`a surface probe needs ${layout.columns} limits; got ${columns.limitsMm.length}`)
    this.#pose = new ProbePose(new ProbeField(surface), layout)
    this.#rays = new ProbeRays(this.#pose)
    this.#nearest = leastSurfaceDistance(surface, profile, grid)
    this.#unscanned = unscannedBound(surface)
    this.#beyond = new ProbeBeyond(this.#pose)
    this.#teeth = new ProbeTeeth(this.#pose)
    this.#limitsMm = Float64Array.from(columns.limitsMm)
    this.#askedMm = new Float64Array(layout.columns)
    this.#found = {
      sectorsMm: new Float64Array(layout.sectors),
      radialMm: Number.NaN,
      nearestMm: Number.NaN,
      openShare: 0,
    }
    this.rows = layout.rows
    this.columns = layout.columns
    this.depthsMm = layout.depthsMm
    this.anglesDeg = grid.anglesDeg
    this.radiiMm = layout.radiiMm
    this.states = this.#rays.states
    this.endMm = this.#rays.endMm
  }

  measure(frame: FixtureFrame, askedMm: Float64Array | null): ProbedBone {
    const found = this.#found
    this.#frame = frame
    this.#pose.stand(frame)
    const mayBeOpen = this.#mayBeOpen()
    this.#rays.search(mayBeOpen ? this.#withLimits(askedMm) : askedMm)
    found.radialMm = Number.NaN
    for (let sector = 0; sector < found.sectorsMm.length; sector++) {
      const mm = this.#rays.leastMm[sector]
      found.sectorsMm[sector] = mm < Number.POSITIVE_INFINITY ? mm : Number.NaN
      if (mm < Number.POSITIVE_INFINITY && !(found.radialMm <= mm)) found.radialMm = mm
    }
    found.nearestMm = this.#nearest(frame, found.radialMm)
    found.openShare = mayBeOpen ? this.#openShare() : 0
    return found
  }

  follow(frame: FixtureFrame, askedMm: Float64Array): void {
    this.#frame = frame
    this.#pose.stand(frame)
    this.#rays.follow(askedMm)
  }

  complete(row: number, column: number): number {
    return this.#rays.complete(row, column)
  }

  isTooth(row: number, column: number): boolean {
    const { columns, placeOf } = this.#pose.layout
    const endMm = this.endMm[row * columns + column]
    return (
      this.#teeth.isHard(row, placeOf[column], endMm) ||
      this.#leaps(row, column, endMm, column + 1 < columns ? column + 1 : 0) ||
      this.#leaps(row, column, endMm, column > 0 ? column - 1 : columns - 1)
    )
  }

  #leaps(row: number, column: number, endMm: number, other: number): boolean {
    const { columns, placeOf } = this.#pose.layout
    const n = row * columns + other
    if (this.states[n] !== RAY_ENDS) return false
    return this.#teeth.leaps(row, placeOf[column], endMm, placeOf[other], this.endMm[n])
  }

  beyond(row: number, column: number, fromMm: number, toMm: number): BeyondBone {
    if (this.#frame === null) throw new Error('a surface probe has no rays before it measured a pose')
    return this.#beyond.look(this.#frame, row, this.#pose.layout.placeOf[column], fromMm, toMm)
  }

  /** Whether what was not scanned lies within any limit of the fixture's side. */
  #mayBeOpen(): boolean {
    const { rows, radiiMm } = this.#pose.layout
    const { starts } = this.#pose
    let limitMm = 0
    for (const mm of this.#limitsMm) if (mm > limitMm) limitMm = mm
    for (let row = 0; row < rows; row++) {
      if (Number.isNaN(this.#pose.onRay(row, 0, 0))) return true
      const boundMm = this.#unscanned?.(starts[3 * row], starts[3 * row + 1], starts[3 * row + 2])
      if (boundMm !== undefined && boundMm < radiiMm[row] + limitMm + 1) return true
    }
    return false
  }

  #withLimits(askedMm: Float64Array | null): Float64Array {
    for (let column = 0; column < this.columns; column++)
      this.#askedMm[column] = Math.max(this.#limitsMm[column], askedMm === null ? 0 : askedMm[column])
    return this.#askedMm
  }

  #openShare(): number {
    const { columns, rows, states, endMm, radiiMm } = this
    let open = 0
    for (let n = 0; n < rows * columns; n++)
      if (
        states[n] === RAY_NO_DATA &&
        endMm[n] - radiiMm[Math.floor(n / columns)] < this.#limitsMm[n % columns]
      )
        open++
    return open / (rows * columns)
  }
}
