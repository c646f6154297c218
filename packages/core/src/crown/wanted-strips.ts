import type { Crown } from './crown.js'
import { edgeAt } from './crown.js'

/** A linear function of the mesiodistal place: value at y = `at + slope y`. */
export interface LineOfY {
  readonly at: number
  readonly slope: number
}

/**
 * A part of the crown's view along its long axis, mm of the crown frame: y from `fromY` to `toY`, x between two lines.
 * Exits on the facial face lie no further apical than `facialZ`.
 */
export interface WantedStrip {
  readonly fromY: number
  readonly toY: number
  readonly fromX: LineOfY
  readonly toX: LineOfY
  readonly facialZ: LineOfY
}

/** Strips narrower than this hold nothing, mm. */
const LEAST_STRIP_MM = 1e-9

const level = (at: number): LineOfY => ({ at, slope: 0 })
const BELOW_ALL = level(Number.NEGATIVE_INFINITY)
const ABOVE_ALL = level(Number.POSITIVE_INFINITY)

/**
 * Where exits are wanted on a front tooth: `behindMm` or more oral of the edge line, and on the facial face no more than
 * `edgeHeightMm` apical of it. In strips from one of the edge line's points to the next: between them it is straight.
 */
export function stripsBehindEdge(crown: Crown, behindMm: number, edgeHeightMm: number): WantedStrip[] {
  return betweenLevels([
    Number.NEGATIVE_INFINITY,
    ...crown.edge.map((p) => p[1]),
    Number.POSITIVE_INFINITY,
  ]).map(([fromY, toY]) => {
    const [low, high] = twoWithin(fromY, toY)
    const a = edgeAt(crown, low)
    const b = edgeAt(crown, high)
    return {
      fromY,
      toY,
      fromX: BELOW_ALL,
      toX: through(low, a[0] - behindMm, high, b[0] - behindMm),
      facialZ: through(low, a[2] + edgeHeightMm, high, b[2] + edgeHeightMm),
    }
  })
}

/** Where exits are wanted on a back tooth: inside the outline of its occlusal table, which does not cross itself. */
export function stripsOfTable(outline: NonNullable<Crown['occlusalTable']>): WantedStrip[] {
  return betweenLevels(outline.map((p) => p[1])).flatMap(([fromY, toY]) => {
    const [low, high] = twoWithin(fromY, toY)
    const sides = outline
      .flatMap((p, i): [number, number][] => {
        const q = outline[(i + 1) % outline.length]
        const spans = Math.min(p[1], q[1]) <= fromY && Math.max(p[1], q[1]) >= toY
        if (!spans) return []
        const x = (y: number) => p[0] + ((y - p[1]) / (q[1] - p[1])) * (q[0] - p[0])
        return [[x(low), x(high)]]
      })
      .sort((a, b) => a[0] + a[1] - b[0] - b[1])
      .map(([a, b]) => through(low, a, high, b))
    // From every other side to the next one lies what is inside.
    return sides.flatMap((fromX, n): WantedStrip[] =>
      n % 2 === 0 && n + 1 < sides.length
        ? [{ fromY, toY, fromX, toX: sides[n + 1], facialZ: ABOVE_ALL }]
        : [],
    )
  })
}

function betweenLevels(levels: readonly number[]): [number, number][] {
  const sorted = [...levels].sort((a, b) => a - b)
  return sorted
    .slice(1)
    .map((to, i): [number, number] => [sorted[i], to])
    .filter(([from, to]) => to - from > LEAST_STRIP_MM)
}

/** Two places between two levels, one of which may be endless. */
function twoWithin(from: number, to: number): [number, number] {
  if (from === Number.NEGATIVE_INFINITY) return [to - 2, to - 1]
  if (to === Number.POSITIVE_INFINITY) return [from + 1, from + 2]
  return [from + (to - from) / 3, from + (2 * (to - from)) / 3]
}

function through(y0: number, v0: number, y1: number, v1: number): LineOfY {
  const slope = (v1 - v0) / (y1 - y0)
  return { at: v0 - slope * y0, slope }
}
