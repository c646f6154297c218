import {
  type BoneMargin,
  CLEAR_OF_SURFACE_MM,
  type FartherBone,
  FLAG_BITS,
  fartherBone,
  fartherOnSurface,
  marchSurface,
  type OutsideRay,
  RANGE_MM,
  type RayState,
  rowsFan,
} from '../bone/index.js'
import {
  axisPoint,
  type FixtureFrame,
  type FixtureProfile,
  radialDirection,
  radiusAtMm,
} from '../fixture/index.js'

/** What the rays of one depth find, column by column of the margin. */
export interface BoneRow {
  readonly depthMm: number
  /** Bone's outside, mm from the axis; 0 where the fixture's side stands in no bone; infinite beyond range. */
  readonly exitMm: Float64Array
  /** Where bone farther out, or a tooth, begins; infinite where nothing does. */
  readonly ceilingMm: Float64Array
  /** Where that bone ends again; 0 where there is none. */
  readonly farMm: Float64Array
  /** 1 where a graft may be planned. */
  readonly free: Uint8Array
  /** 1 where data ends before that could be told. */
  readonly open: Uint8Array
}

/** Rows of hits at some depths, as the margin or a march of its own found them. */
interface FoundRow {
  readonly depthMm: number
  readonly state: (column: number) => RayState
  readonly radiusMm: (column: number) => number
  readonly followedMm: (column: number) => number
  /** Ends at a mask, or may run through a tooth. */
  readonly tooth: (column: number) => boolean
}

/** How far from the axis a graft may reach at a depth and an angle, over bone that reaches so far, mm. */
export type GraftReach = (depthMm: number, angleDeg: number, boneMm: number) => number

/** Beyond bone's outside the coarse mask may still say bone for so long, mm. */
const CLEAR_MM = 0.45

/**
 * Bone under a graft between two depths: the margin's own rows, and rows of the fast march where those do not reach. A
 * margin put together from numbers is known at its own depths only.
 */
export function boneRows(
  margin: BoneMargin,
  frame: FixtureFrame,
  profile: FixtureProfile,
  fromMm: number,
  toMm: number,
  stepMm: number,
  reach: GraftReach,
): BoneRow[] {
  const { anglesDeg } = margin.grid
  const rows = [...marginRows(margin), ...marchedRows(margin, frame, fromMm, toMm, stepMm)]
    .filter(({ depthMm }) => depthMm > fromMm - 1 && depthMm < toMm + 1)
    .sort((a, b) => a.depthMm - b.depthMm)
  const rays: OutsideRay[] = []
  const places: { readonly row: number; readonly column: number }[] = []
  let furthestMm = 0
  const clearMm = margin.source?.surface === undefined ? CLEAR_MM : CLEAR_OF_SURFACE_MM
  const directions = anglesDeg.map((angle) => radialDirection(frame, angle))
  for (const [row, found] of rows.entries()) {
    const start = axisPoint(frame, found.depthMm)
    for (const [column, angle] of anglesDeg.entries()) {
      const state = found.state(column)
      const bare = state === 'axis-outside'
      const reachMm = reach(found.depthMm, angle, state === 'bone' ? found.radiusMm(column) : 0)
      if (!bare && !(state === 'bone' && found.radiusMm(column) < reachMm && !found.tooth(column))) continue
      furthestMm = Math.max(furthestMm, reachMm)
      rays.push({
        start,
        direction: directions[column],
        fromMm: bare ? 0 : found.radiusMm(column) + clearMm,
      })
      places.push({ row, column })
    }
  }
  const built = rows.map((found) => rowOf(found, anglesDeg, reach))
  const farther = fartherOf(margin, rays, furthestMm + 0.5)
  for (const [n, { entryMm, exitMm, openMm, maskMm }] of farther.entries()) {
    const { row, column } = places[n]
    const to = built[row]
    const radiusMm = radiusAtMm(profile, to.depthMm)
    if (openMm < reach(to.depthMm, anglesDeg[column], to.exitMm[column])) {
      to.free[column] = 0
      to.open[column] = 1
    }
    if (maskMm <= Math.max(to.exitMm[column], radiusMm)) to.free[column] = 0
    const bare = to.exitMm[column] === 0
    if (bare && entryMm <= radiusMm) to.exitMm[column] = exitMm > radiusMm ? exitMm : 0
    // What begins before bone's outside is that bone: a corner of the coarse mask stood out of it.
    else if (!bare && entryMm <= to.exitMm[column]) to.ceilingMm[column] = maskMm
    else if (entryMm < maskMm) {
      to.ceilingMm[column] = Math.max(radiusMm, entryMm)
      to.farMm[column] = Number.isFinite(entryMm) ? exitMm : 0
    } else to.ceilingMm[column] = maskMm
  }
  return built
}

function fartherOf({ source }: BoneMargin, rays: readonly OutsideRay[], toMm: number): FartherBone[] {
  if (source === null) return []
  const { model, surface } = source
  return surface === undefined ? fartherBone(model, rays, toMm) : fartherOnSurface(surface, rays, toMm)
}

function rowOf(found: FoundRow, anglesDeg: readonly number[], reach: GraftReach): BoneRow {
  const { depthMm } = found
  const columns = anglesDeg.length
  const row = {
    depthMm,
    exitMm: new Float64Array(columns),
    ceilingMm: new Float64Array(columns).fill(Number.POSITIVE_INFINITY),
    farMm: new Float64Array(columns),
    free: new Uint8Array(columns).fill(1),
    open: new Uint8Array(columns),
  }
  for (const [column, angle] of anglesDeg.entries()) {
    const state = found.state(column)
    if (state === 'bone') row.exitMm[column] = found.radiusMm(column)
    else if (state === 'no-surface') row.exitMm[column] = Number.POSITIVE_INFINITY
    else if (state === 'no-data') {
      // Through bone as far as the graft would reach: there is none to plan, whatever follows.
      const enough = found.followedMm(column) >= reach(depthMm, angle, found.followedMm(column))
      row.exitMm[column] = found.followedMm(column)
      if (!enough) {
        row.free[column] = 0
        row.open[column] = 1
      }
    }
    // Beyond the graft's reach a tooth, or a leap of the surface that looks like one, is none of its concern.
    const exitMm = row.exitMm[column]
    if (found.tooth(column) && exitMm < reach(depthMm, angle, exitMm)) row.free[column] = 0
  }
  return row
}

function marginRows({ source, grid, hits, flags }: BoneMargin): FoundRow[] {
  const columns = grid.anglesDeg.length
  const isTooth = (n: number) => (flags[n] & FLAG_BITS.tooth) !== 0
  if (source === null)
    return grid.depthsMm.map((depthMm, row) => {
      const first = row * columns
      return {
        depthMm,
        state: (c) => hits.states[first + c],
        radiusMm: (c) => hits.radiusMm[first + c],
        followedMm: (c) => hits.followedMm[first + c],
        tooth: (c) => isTooth(first + c),
      }
    })
  const { fan, net, masked } = source
  return fan.depthsMm.slice(0, fan.mapFrom + fan.mapRows).map((depthMm, row) => {
    const first = row * columns
    const ofMap = (row - fan.mapFrom) * columns
    return {
      depthMm,
      state: (c) => net.states[first + c],
      radiusMm: (c) => net.radiusMm[first + c],
      followedMm: (c) => net.followedMm[first + c],
      tooth: (c) => masked[first + c] === 1 || (ofMap >= 0 && isTooth(ofMap + c)),
    }
  })
}

/** Rows that the margin did not measure: above those over the platform, and past the apex. */
function marchedRows(
  { source, grid }: BoneMargin,
  frame: FixtureFrame,
  fromMm: number,
  toMm: number,
  stepMm: number,
): FoundRow[] {
  if (source === null) return []
  const { model, fan } = source
  const known = fan.depthsMm.slice(0, fan.mapFrom + fan.mapRows)
  const first = known[0] ?? 0
  const last = known[known.length - 1] ?? 0
  const depthsMm: number[] = []
  for (let depth = first - stepMm; depth > fromMm - stepMm; depth -= stepMm) depthsMm.unshift(depth)
  for (let depth = last + stepMm; depth < toMm + stepMm; depth += stepMm) depthsMm.push(depth)
  if (depthsMm.length === 0) return []
  const { hits, masked } = marchSurface(model, rowsFan(frame, { depthsMm, anglesDeg: grid.anglesDeg }), {
    rangeMm: RANGE_MM,
  })
  return depthsMm.map((depthMm, row) => {
    const at = row * grid.anglesDeg.length
    return {
      depthMm,
      state: (c) => hits.states[at + c],
      radiusMm: (c) => hits.radiusMm[at + c],
      followedMm: (c) => hits.followedMm[at + c],
      tooth: (c) => masked[at + c] === 1,
    }
  })
}
