import { dot, length, normalize, subtract, type Vec3, type WorldPoint } from '@alveometer/core'
import { blurredBall } from './blurred.js'
import { discStack } from './discs.js'
import type { Field } from './field.js'
import { normalCdf } from './normal.js'

/** Parallel layers. `faces[i]` mm along `normal` from `origin` parts `greys[i]` from `greys[i + 1]`. */
export interface PlateStack {
  readonly origin: WorldPoint
  readonly normal: Vec3
  readonly faces: readonly number[]
  readonly greys: readonly number[]
  /** Standard deviation of the blur. */
  readonly sigmaMm: number
}

/**
 * `v = y0 + sum (y_i+1 - y_i) Phi((x - e_i) / s)`, exact for any blur and any order of faces.
 * @throws RangeError unless there is one grey more than faces.
 */
export function plateStack(stack: PlateStack): Field {
  const { faces, greys, origin, sigmaMm } = stack
  if (greys.length !== faces.length + 1)
    throw new RangeError(`${faces.length} faces part ${faces.length + 1} layers, got ${greys.length} greys`)
  const [nx, ny, nz] = normalize(stack.normal)
  const shift = dot(origin, [nx, ny, nz])
  return (x, y, z) => {
    const along = nx * x + ny * y + nz * z - shift
    let v = greys[0] as number
    for (let i = 0; i < faces.length; i++) {
      const distance = along - (faces[i] as number)
      const step = (greys[i + 1] as number) - (greys[i] as number)
      v += step * (sigmaMm > 0 ? normalCdf(distance / sigmaMm) : distance > 0 ? 1 : distance < 0 ? 0 : 0.5)
    }
    return v
  }
}

/** A tube along `axis`: outer radius, and an inner disc whose centre lies off the axis, so thickness varies round it. */
export interface CylinderShell {
  readonly origin: WorldPoint
  readonly axis: Vec3
  /** Direction (made perpendicular to the axis) in which the inner disc is shifted: the plate is thinnest there. */
  readonly towards: Vec3
  readonly outerRadiusMm: number
  readonly innerRadiusMm: number
  readonly eccentricityMm: number
  readonly greyOutside: number
  readonly greyShell: number
  readonly greyInside: number
  readonly sigmaMm: number
}

/** `yo + (yc - yo) B2(|p|, R) + (yin - yc) B2(|p - e|, Ri)`: thickness from R - Ri - e to R - Ri + e, exact. */
export const cylinderShell = (shell: CylinderShell): Field =>
  discStack({
    ...shell,
    discs: [
      { radiusMm: shell.outerRadiusMm, shiftMm: 0, grey: shell.greyShell },
      { radiusMm: shell.innerRadiusMm, shiftMm: shell.eccentricityMm, grey: shell.greyInside },
    ],
  })

export interface Ball {
  readonly centre: WorldPoint
  readonly radiusMm: number
  readonly greyInside: number
  readonly greyOutside: number
  readonly sigmaMm: number
}

export const ball =
  (b: Ball): Field =>
  (x, y, z) =>
    b.greyOutside +
    (b.greyInside - b.greyOutside) * blurredBall(length(subtract([x, y, z], b.centre)), b.radiusMm, b.sigmaMm)
