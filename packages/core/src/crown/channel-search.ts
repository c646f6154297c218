/** A direction as seen from the fixture axis. */
export interface Bent {
  readonly bendDeg: number
  readonly azimuthDeg: number
}

/** How a search goes about it: rings `ringDeg` apart, directions `azimuthDeg` apart on each. */
export interface SearchGrid {
  readonly ringDeg: number
  readonly azimuthDeg: number
  /** Up to here nothing is known to hold. */
  readonly fromDeg: number
  readonly toDeg: number
  readonly toleranceDeg: number
  /** Directions of a ring that the search goes on from. */
  readonly starts: number
}

/** Cuts a ring's step into this many to see which of its directions lead furthest in. */
const ROUGH_SHARE = 16
/** The search along the border ends when its step round the axis is below this. */
const LEAST_TURN_DEG = 0.2

/**
 * The least bend at which something holds, within a tolerance: rings of directions outwards until one holds, then
 * inwards to the border of what holds, then along the border as long as that leads further in. A part narrower than
 * the grid may be missed. The answer itself holds. Null when no direction of the grid does.
 */
export function leastBend(holds: (bent: Bent) => boolean, grid: SearchGrid): Bent | null {
  const { ringDeg, azimuthDeg, fromDeg, toDeg } = grid
  for (let inner = fromDeg; inner < toDeg; inner += ringDeg) {
    const bendDeg = Math.min(toDeg, inner + ringDeg)
    const found: Bent[] = []
    for (let azimuth = 0; azimuth < 360; azimuth += azimuthDeg) {
      const bent = { bendDeg, azimuthDeg: azimuth }
      if (holds(bent)) found.push(inwards(holds, bent, inner, ringDeg / ROUGH_SHARE))
    }
    if (found.length === 0) continue
    const ends = found
      .sort(byBend)
      .slice(0, grid.starts)
      .map((start) => alongBorder(holds, start, grid))
    return ends.sort(byBend)[0]
  }
  return null
}

const byBend = (a: Bent, b: Bent): number => a.bendDeg - b.bendDeg

/**
 * The least bend on from one, in its own direction, at which something holds: in growing steps, within a tolerance.
 * Null when none of them up to `furthestDeg` further does.
 */
export function outwards(
  holds: (bent: Bent) => boolean,
  from: Bent,
  toleranceDeg: number,
  furthestDeg: number,
): Bent | null {
  if (holds(from)) return from
  let inner = from.bendDeg
  for (let step = toleranceDeg; step <= furthestDeg; step *= 2) {
    const bent = { ...from, bendDeg: from.bendDeg + step }
    if (holds(bent)) return inwards(holds, bent, inner, toleranceDeg)
    inner = bent.bendDeg
  }
  return null
}

/** From a direction that holds straight inwards to the border; at `innerDeg` it is taken not to hold. */
function inwards(holds: (bent: Bent) => boolean, bent: Bent, innerDeg: number, toleranceDeg: number): Bent {
  let low = innerDeg
  let high = bent.bendDeg
  while (high - low > toleranceDeg) {
    const middle = (low + high) / 2
    if (holds({ ...bent, bendDeg: middle })) high = middle
    else low = middle
  }
  return { ...bent, bendDeg: high }
}

function alongBorder(holds: (bent: Bent) => boolean, start: Bent, grid: SearchGrid): Bent {
  const { toleranceDeg } = grid
  let best = inwardsFrom(holds, start, toleranceDeg)
  for (let turn = grid.azimuthDeg / 2; turn >= LEAST_TURN_DEG; ) {
    const bendDeg = best.bendDeg - toleranceDeg
    const further = [best.azimuthDeg + turn, best.azimuthDeg - turn]
      .map((azimuthDeg) => ({ bendDeg, azimuthDeg }))
      .filter((bent) => bendDeg > 0 && holds(bent))
      .map((bent) => inwardsFrom(holds, bent, toleranceDeg))
      .sort(byBend)
    if (further.length > 0) best = further[0]
    else turn /= 2
  }
  return best
}

/** As `inwards`, where it is not known how far: in growing steps. */
function inwardsFrom(holds: (bent: Bent) => boolean, bent: Bent, toleranceDeg: number): Bent {
  let high = bent.bendDeg
  for (let step = 2 * toleranceDeg; ; step *= 2) {
    const low = Math.max(0, high - step)
    if (low === 0 || !holds({ ...bent, bendDeg: low }))
      return inwards(holds, { ...bent, bendDeg: high }, low, toleranceDeg)
    high = low
  }
}
