/** The largest scale of the error that is looked at. Own choice: nobody misses by four times what is published. */
export const GREATEST_SCALE = 4
/** Share of the placements in which all limits are to hold. */
export const WANTED_SHARE = 0.95
/** How many draws tell roughly where to look: to a tenth or so. */
const ROUGH_DRAWS = 200
const ROUGH_HALVINGS = 8
/** How far the true scale may lie from the rough one before the bracket is widened. */
const BRACKET = 1.35
/** A scale is told to this. */
const NEAR = 0.003
/** Placements between two turns of whoever runs the steps. */
const LOOKS_A_STEP = 64

/** How many placements are looked at, seldom more. */
export const usualLooks = (draws: number): number => 2 * draws + ROUGH_HALVINGS * ROUGH_DRAWS

/** Whether a draw keeps all limits at a scale of the error. */
type Keeps = (draw: number, scale: number) => boolean

/**
 * The largest scale of the error at which enough of the draws keep all limits, the same draws at each scale. Bisected with
 * few draws first; then with all, and there a draw that keeps all limits at a scale is taken to keep them at the smaller
 * ones of the bracket. Counted among 2000 draws it is right to about 0.5 % of the share. Yields how many placements were
 * looked at.
 * @returns GREATEST_SCALE when even that one is kept; about 0 when none above nought is
 */
export function* tolerableScale(draws: number, keeps: Keeps): Generator<number, number> {
  const looks = { count: 0 }
  const rough = yield* roughScale(Math.min(draws, ROUGH_DRAWS), keeps, looks)
  const known = remembered(draws, keeps)
  const isKept = (scale: number) => enoughKeep(draws, known, scale, looks)
  let kept = 0
  let missed = Math.min(GREATEST_SCALE, rough * BRACKET + NEAR)
  while (yield* isKept(missed)) {
    if (missed === GREATEST_SCALE) return GREATEST_SCALE
    kept = missed
    missed = Math.min(GREATEST_SCALE, missed * BRACKET)
  }
  for (let below = missed / BRACKET ** 2; kept === 0 && below > NEAR; below /= BRACKET ** 2)
    if (yield* isKept(below)) kept = below
    else missed = below
  while (missed - kept > NEAR) {
    const scale = (kept + missed) / 2
    if (yield* isKept(scale)) kept = scale
    else missed = scale
  }
  return kept
}

function* roughScale(draws: number, keeps: Keeps, looks: { count: number }): Generator<number, number> {
  let [kept, missed] = [0, GREATEST_SCALE]
  for (let n = 0; n < ROUGH_HALVINGS; n++) {
    const scale = (kept + missed) / 2
    if (yield* enoughKeep(draws, keeps, scale, looks)) kept = scale
    else missed = scale
  }
  return missed
}

/** Looks at no more draws than it takes to miss too often. */
function* enoughKeep(
  draws: number,
  keeps: Keeps,
  scale: number,
  looks: { count: number },
): Generator<number, boolean> {
  let allowed = Math.floor(draws * (1 - WANTED_SHARE) + 1e-9)
  for (let draw = 0; draw < draws; draw++) {
    if (!keeps(draw, scale)) allowed--
    if (allowed < 0) return false
    looks.count++
    if (looks.count % LOOKS_A_STEP === 0) yield looks.count
  }
  return true
}

/** Does not look again where a larger scale was kept or a smaller one missed. */
function remembered(draws: number, keeps: Keeps): Keeps {
  const keptAt = new Float64Array(draws)
  const missedAt = new Float64Array(draws).fill(Number.POSITIVE_INFINITY)
  return (draw, scale) => {
    if (scale <= keptAt[draw]) return true
    if (scale >= missedAt[draw]) return false
    const isKept = keeps(draw, scale)
    if (isKept) keptAt[draw] = scale
    else missedAt[draw] = scale
    return isKept
  }
}
