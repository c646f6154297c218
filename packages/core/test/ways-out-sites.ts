import type { Vec3 } from '../src/space/index.js'
import { seeded } from './random-meshes.js'
import type { Face } from './tilt-chart-meter.js'
import type { RidgeScene } from './ways-out-meter.js'

const radians = (degrees: number): number => (degrees * Math.PI) / 180

/** A plane through a point of the facial-oral plane; its outside leans by an angle from +x (facial) towards +z (apical). */
export function leaningFace(x: number, z: number, towardsApexDeg: number, side: 1 | -1 = 1): Face {
  const [cos, sin] = [Math.cos(radians(towardsApexDeg)), Math.sin(radians(towardsApexDeg))]
  const n: Vec3 = [side * cos, 0, side * sin]
  return { n, at: n[0] * x + n[2] * z }
}

/**
 * A ridge between a facial and an oral plate that lean (its apex towards facial or oral), each in its own way, with a crest,
 * teeth to both sides, often a hollow above the apex, and a crown anywhere over it.
 */
export function strewnScene(seed: number): RidgeScene {
  const next = seeded(4000 + seed)
  const between = (from: number, to: number): number => from + (to - from) * next()
  const widthMm = between(5.2, 9)
  const leanDeg = between(-10, 28)
  const taperDeg = between(0, 12)
  const middle = between(-1.2, 1.2)
  const hollowed = next() < 0.5
  return {
    faces: [
      leaningFace(middle + widthMm / 2, 0, leanDeg - taperDeg / 2),
      leaningFace(middle - widthMm / 2, 0, leanDeg + taperDeg / 2, -1),
      { n: [0, 0, -1], at: between(0.8, 2.5) },
      { n: [0, 1, 0], at: between(3, 4.5) },
      { n: [0, -1, 0], at: between(3, 4.5) },
      { n: [0, 0, 1], at: between(12, 18) },
    ],
    ...(hollowed
      ? {
          hollow: {
            x: middle + widthMm / 2 + between(8, 10) - 8 * Math.tan(radians(leanDeg)),
            z: between(7, 12),
            radiusMm: between(8, 9.5),
          },
        }
      : {}),
    exitZ: between(-14, -11),
    edgeX: between(-1.5, 2),
    marginX: between(2.6, 3.8),
    ...(next() < 0.5 ? { wall: { oral: between(-5.5, -4.5), facial: between(1.5, 3) } } : {}),
    walledBehindMm: between(0, 0.6),
  }
}
