import { dot, normalize, subtract, type Vec3, type WorldPoint } from '@alveometer/core'
import { blurredDisc, tabulate } from './blurred.js'
import type { Field } from './field.js'

/** A disc of a stack: what lies inside its rim. */
export interface Disc {
  readonly radiusMm: number
  /** How far its centre lies off the axis in the stack's direction. */
  readonly shiftMm: number
  readonly grey: number
}

/** Discs one inside the other, drawn out along an axis. */
export interface DiscStack {
  readonly origin: WorldPoint
  readonly axis: Vec3
  /** Direction of the shifts, made perpendicular to the axis. */
  readonly towards: Vec3
  readonly greyOutside: number
  /** From the outermost to the innermost. */
  readonly discs: readonly Disc[]
  readonly sigmaMm: number
}

/** `v = y0 + sum (y_i - y_i-1) B2(|p - e_i|, R_i)`: exact for any blur and any order of greys. */
export function discStack(stack: DiscStack): Field {
  const axis = normalize(stack.axis)
  const lean = dot(stack.towards, axis)
  const side = normalize(subtract(stack.towards, [axis[0] * lean, axis[1] * lean, axis[2] * lean]))
  const across: Vec3 = [
    axis[1] * side[2] - axis[2] * side[1],
    axis[2] * side[0] - axis[0] * side[2],
    axis[0] * side[1] - axis[1] * side[0],
  ]
  const [ox, oy, oz] = stack.origin
  const { greyOutside, discs, sigmaMm } = stack
  const steps = discs.map(({ radiusMm, shiftMm, grey }, n) => ({
    shiftMm,
    grey: grey - (n === 0 ? greyOutside : (discs[n - 1] as Disc).grey),
    coverage: tabulatedDisc(radiusMm, sigmaMm),
  }))
  return (x, y, z) => {
    const dx = x - ox
    const dy = y - oy
    const dz = z - oz
    const u = dx * side[0] + dy * side[1] + dz * side[2]
    const v = dx * across[0] + dy * across[1] + dz * across[2]
    let sum = greyOutside
    for (const { shiftMm, grey, coverage } of steps) sum += grey * coverage(Math.hypot(u - shiftMm, v))
    return sum
  }
}

function tabulatedDisc(R: number, s: number): (r: number) => number {
  if (s <= 0) return (r) => blurredDisc(r, R, 0)
  return tabulate((r) => blurredDisc(r, R, s), Math.max(0, R - 8 * s), R + 8 * s, s / 25)
}
