import { smooth } from './crown-form.js'
import type { PosteriorTraits } from './posterior-traits.js'

/** The occlusal table in the crown frame: half its length, and where its two rims run, mm. */
export interface Table {
  readonly rimMd: number
  readonly facialRim: number
  readonly oralRim: number
}

interface Tip {
  readonly x: number
  readonly y: number
  readonly lower: number
}

/**
 * How steeply a cusp falls along its ridges to mesial and distal, off the sides of its triangular ridge, and outward,
 * mm per mm. Own choice.
 */
const ALONG_RIDGE = 0.5
const OFF_RIDGE = 0.95
const OUTWARD = 1.1
/** How steeply a marginal ridge falls to its fossa, mm per mm. */
const MARGIN_SLOPE = 0.65
/** How much a marginal ridge rises from its middle to its ends, mm per mm. */
const MARGIN_DIP = 0.1
/** 1 gives cusps whose four ridges are sharp, 2 round cones. */
const RIDGED = 1.3
/** How round a tip and a ridge are, and how narrow a groove, mm. */
const TIP_MM = 0.3
const GROOVE_MM = 0.13

/**
 * Depth of the occlusal surface under the highest cusp, up to a constant: cusps with a triangular ridge towards the
 * middle and ridges to mesial and distal, the two marginal ridges, where there are any the ridges from cusp to cusp.
 * Where two of them meet a groove is left.
 */
export function occlusalDepth(traits: PosteriorTraits, table: Table): (x: number, y: number) => number {
  const middle = (table.facialRim - table.oralRim) / 2
  const half = (table.facialRim + table.oralRim) / 2
  const tips = traits.cusps.map(([u, v, lower]): Tip => ({ x: middle + v * half, y: u * table.rimMd, lower }))
  const cusps = tips.map((tip) => cusp(tip, [middle, tip.y * 0.62], traits.flank, traits.bend))
  const joined = [traits.oblique, traits.transverse]
    .filter((pair) => pair !== undefined)
    .map(([a, b]) => ridge(tips[a], tips[b], traits.flank, traits.oblique ? 0.95 : 1.4))
  const margins = [
    margin(table.rimMd, traits.mesialMarginMm, middle),
    margin(-table.rimMd, traits.distalMarginMm, middle),
  ]
  const parts = [...cusps, ...joined, ...margins]
  return (x, y) => {
    const values = parts.map((part) => part(x, y))
    return softMinimum(values, GROOVE_MM)
  }
}

/** Places along the table at which the central groove is looked for, and over how many of them it is smoothed. */
const STATIONS = 41
const SMOOTHED = 5
/** How far from the middle of the table the groove may lie, as a share of its half width. */
const GROOVE_REACH = 0.4

/**
 * Where the central groove runs: the lowest line of the table's middle, as x over y. Towards its ends at
 * y = +-`reachMd` it bends back to the middle, where the marginal ridges close the table.
 */
export function grooveLine(
  depth: (x: number, y: number) => number,
  { rimMd, facialRim, oralRim }: Table,
  reachMd: number,
): (y: number) => number {
  const middle = (facialRim - oralRim) / 2
  const reach = (GROOVE_REACH * (facialRim + oralRim)) / 2
  const lowest = Array.from({ length: STATIONS }, (_, i) => {
    const y = rimMd * ((2 * i) / (STATIONS - 1) - 1)
    const candidates = Array.from({ length: 61 }, (_, j) => {
      const x = middle + reach * (j / 30 - 1)
      return { x, depth: depth(x, y) }
    })
    return candidates.reduce((a, b) => (b.depth > a.depth ? b : a)).x
  })
  const smoothed = lowest.map((_, i) => {
    const near = lowest.slice(Math.max(0, i - SMOOTHED), i + SMOOTHED + 1)
    return near.reduce((sum, x) => sum + x, 0) / near.length
  })
  return (y) => {
    const at = Math.min(STATIONS - 1.001, Math.max(0, ((y / rimMd + 1) / 2) * (STATIONS - 1)))
    const i = Math.floor(at)
    const x = smoothed[i] + (at - i) * (smoothed[i + 1] - smoothed[i])
    return middle + (x - middle) * Math.max(0, 1 - (y / reachMd) ** 2) ** 2
  }
}

/** A cusp as a pyramid on its own axes: the triangular ridge towards `foot`, and across it. */
function cusp(tip: Tip, [footX, footY]: readonly [number, number], flank: number, bend: number) {
  const reach = Math.hypot(footX - tip.x, footY - tip.y)
  const [ax, ay] = [(footX - tip.x) / reach, (footY - tip.y) / reach]
  return (x: number, y: number): number => {
    const across = (y - tip.y) * ax - (x - tip.x) * ay
    const inward = (x - tip.x) * ax + (y - tip.y) * ay - bend * across ** 2
    const fall = inward > 0 ? flank : OUTWARD
    const side = ALONG_RIDGE + (OFF_RIDGE - ALONG_RIDGE) * smooth(0, 1.3, inward)
    return tip.lower + ridged(fall * rounded(inward), side * rounded(across))
  }
}

/** A ridge from tip to tip that sags in between by `sag` mm. */
function ridge(a: Tip, b: Tip, flank: number, sag: number) {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const square = dx * dx + dy * dy
  return (x: number, y: number): number => {
    const k = Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / square))
    const off = Math.hypot(x - a.x - k * dx, y - a.y - k * dy)
    return a.lower + k * (b.lower - a.lower) + sag * Math.sin(Math.PI * k) + flank * rounded(off)
  }
}

/** A marginal ridge along y = `end`, a little lower in its middle. */
const margin =
  (end: number, lower: number, middle: number) =>
  (x: number, y: number): number =>
    lower + MARGIN_SLOPE * rounded(y - end) - MARGIN_DIP * rounded(x - middle)

const ridged = (a: number, b: number): number => (a ** RIDGED + b ** RIDGED) ** (1 / RIDGED)

/** |d|, rounded off at 0. */
const rounded = (d: number): number => Math.sqrt(d * d + TIP_MM ** 2) - TIP_MM

/** The least of some values, with the groove where two of them meet rounded over about `width` mm. */
function softMinimum(values: readonly number[], width: number): number {
  const least = Math.min(...values)
  return least - width * Math.log(values.reduce((sum, v) => sum + Math.exp((least - v) / width), 0))
}
