/** The largest scale of the error that is looked at. Own choice: nobody misses by four times what is published. */
export const GREATEST_SCALE = 4
/** Share of the placements in which all limits are to hold. */
export const WANTED_SHARE = 0.95
/** To 0.004 of the error. */
const HALVINGS = 10
/** Placements between two turns of whoever runs the steps. */
const LOOKS_A_STEP = 64

/** Placements looked at, at most. */
export const greatestLooks = (draws: number): number => draws * (HALVINGS + 1)

/**
 * The largest scale of the error at which enough of the draws keep all limits: the same draws at each scale, bisected. It
 * is the only one where a larger error keeps fewer; otherwise one of several. Counted among 2000 draws it is right to about
 * 0.5 % of the share. Yields how many placements were looked at.
 * @param keeps whether a draw keeps all limits at a scale
 * @returns the greatest scale looked at when even that one is kept; 0 when none above nought is
 */
export function* tolerableScale(
  draws: number,
  keeps: (draw: number, scale: number) => boolean,
): Generator<number, number> {
  const allowed = Math.floor(draws * (1 - WANTED_SHARE) + 1e-9)
  let order = Array.from({ length: draws }, (_, draw) => draw)
  let looks = 0

  function* isKept(scale: number): Generator<number, boolean> {
    const missed: number[] = []
    const kept: number[] = []
    for (const draw of order) {
      if (keeps(draw, scale)) kept.push(draw)
      else missed.push(draw)
      looks++
      if (looks % LOOKS_A_STEP === 0) yield looks
      if (missed.length > allowed) break
    }
    // Those that missed are looked at first next time: too large a scale is then soon seen to be so.
    order = [...missed, ...order.slice(missed.length + kept.length), ...kept]
    return missed.length <= allowed
  }

  if (yield* isKept(GREATEST_SCALE)) return GREATEST_SCALE
  let [kept, missed] = [0, GREATEST_SCALE]
  for (let n = 0; n < HALVINGS; n++) {
    const scale = (kept + missed) / 2
    if (yield* isKept(scale)) kept = scale
    else missed = scale
  }
  return kept
}
