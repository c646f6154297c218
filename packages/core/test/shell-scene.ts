import {
  correlatedNoise,
  createRandom,
  cubicGrid,
  cylinderShell,
  renderField,
  whiteNoise,
} from '@alveometer/phantom'
import { cross, dot, normalize, perpendicularTo, subtract, type Vec3, type Volume } from '../src/index.js'

/** Outer radius 5 mm; the plate is 0.35 to 2.6 mm thick round the ring. */
export const SHELL = { outerMm: 5, innerMm: 3.525, eccentricityMm: 1.125 }

export interface ShellScene {
  readonly volume: Volume
  readonly origin: Vec3
  readonly axis: Vec3
}

/** An eccentric shell in a random pose: cortex 1500, textured marrow 400, soft tissue 50. */
export function shellScene(options: {
  readonly spacingMm: number
  readonly sigmaMm: number
  readonly noiseSd: number
  readonly textureSd: number
  readonly seed: string
}): ShellScene {
  const { spacingMm, sigmaMm, noiseSd, textureSd, seed } = options
  const random = createRandom(seed)
  const spread = () => random.uniform() - 0.5
  const axis = normalize([0.5 * spread(), 0.5 * spread(), 1])
  const towards = perpendicularTo([1, 3 * spread(), 0], axis)
  const origin: Vec3 = [spacingMm * spread(), spacingMm * spread(), spacingMm * spread()]
  const n = Math.round(18 / spacingMm)
  const shape: Vec3 = [n, n, Math.round(16 / spacingMm)]
  const grid = cubicGrid(shape, spacingMm, [0, 0, 0])
  const shell = {
    origin,
    axis,
    towards,
    outerRadiusMm: SHELL.outerMm,
    innerRadiusMm: SHELL.innerMm,
    eccentricityMm: SHELL.eccentricityMm,
    sigmaMm,
  }
  const field = cylinderShell({ ...shell, greyOutside: 50, greyShell: 1500, greyInside: 400 })
  const marrow = cylinderShell({ ...shell, greyOutside: 0, greyShell: 0, greyInside: 1 })
  const texture = correlatedNoise(shape, textureSd, 0.35 / spacingMm, `${seed}/texture`)
  const noise = whiteNoise(shape, noiseSd, `${seed}/noise`)
  const inMarrow = renderField(marrow, grid, { type: 'float32' }).data
  for (let i = 0; i < noise.length; i++) noise[i] += texture[i] * inMarrow[i]
  return { volume: renderField(field, grid, { noise }), origin, axis }
}

/** Distance along a ray from inside a cylinder to its surface, mm. */
export function exitFromCylinder(
  start: Vec3,
  direction: Vec3,
  origin: Vec3,
  axis: Vec3,
  radiusMm: number,
): number {
  const d = cross(direction, axis)
  const p = cross(subtract(start, origin), axis)
  const a = dot(d, d)
  const b = dot(d, p)
  return (-b + Math.sqrt(b * b - a * (dot(p, p) - radiusMm * radiusMm))) / a
}
