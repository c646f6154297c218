import type { ToothDimensions } from './tooth-dimensions.js'

/**
 * The shape of a crown as functions of `t`, the share of the way from the cervical margin (0) to the edge of the
 * incisal or occlusal surface (1). Lengths in mm, in a frame with +x facial and +y mesial; oral and distal as
 * positive distances from the origin.
 */
export interface CrownForm {
  readonly facial: (t: number) => number
  readonly oral: (t: number) => number
  readonly mesial: (t: number) => number
  readonly distal: (t: number) => number
  /** Where the four sides have their heights of contour: sections the mesh must pass through. */
  readonly crests: readonly number[]
  /** How boxy the cross-section is: 2 an ellipse, higher nearer to a rectangle; facial and oral halves. */
  readonly facialPower: (t: number) => number
  readonly oralPower: (t: number) => number
  /** How much wider the facial half is than the oral half, as a share. */
  readonly taper: number
  /** How far the facial corner is shifted mesially against the oral one, as a share: the rhomboid upper molar. */
  readonly shear: number
  /** Height of the two marginal ridges along the oral face, mm. */
  readonly oralRidge: (t: number) => number
  /** The line the incisal or occlusal surface closes on: its x, and its length as a share of the surface's. */
  readonly ridgeX: (y: number) => number
  readonly ridgeShare: (halfLengthMm: number) => number
  /** How far below the highest point of the crown the surface lies at (x, y), mm, up to a constant. */
  readonly depth: (x: number, y: number) => number
}

/** From 0 at s = 0 to 1 at s = 1, level at the end: a bulge that reaches its height of contour. */
export const rise = (s: number): number => Math.sin((Math.PI / 2) * Math.min(1, Math.max(0, s)))

/** A quarter of an ellipse from 0 at s = 0 to 1 at s = 1, upright at the end: a rounded corner. */
export const corner = (s: number): number => 1 - Math.sqrt(Math.max(0, 1 - Math.min(1, Math.max(0, s)) ** 2))

/** From 0 to 1, level at both ends, the sooner the higher `power`: a concave slope. */
export const hollow = (s: number, power: number): number => {
  const u = Math.min(1, Math.max(0, s))
  return 1 - (1 - u) ** power * (1 + power * u)
}

/** A side that bulges from `cervical` to `crest` at t = crestT and from there falls to `end` by `fall`, 0 to 1 over 0 to 1. */
export const side =
  (cervical: number, crest: number, crestT: number, end: number, fall: (s: number) => number) =>
  (t: number): number =>
    t <= crestT
      ? cervical + (crest - cervical) * rise(t / crestT)
      : crest + (end - crest) * fall((t - crestT) / (1 - crestT))

/** Half widths of a tooth, mm. */
export const halves = (d: ToothDimensions) => ({
  md: d.widthMdMm / 2,
  mdCervical: d.cervicalMdMm / 2,
  ll: d.widthLlMm / 2,
  llCervical: d.cervicalLlMm / 2,
})
