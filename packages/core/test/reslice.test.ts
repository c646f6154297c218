import { expect, test } from 'vitest'
import { createVolume, fromFrame, reslice, type Vec3 } from '../src/index.js'

/** Grey = x + 10 y + 100 z in world mm, which trilinear sampling keeps exactly. */
const linear = ([x, y, z]: Vec3) => x + 10 * y + 100 * z
const shape: Vec3 = [9, 8, 7]
const spacing: Vec3 = [0.5, 0.25, 1]
const volume = createVolume({
  data: Float32Array.from({ length: 9 * 8 * 7 }, (_, n) =>
    linear([0.5 * (n % 9), 0.25 * (Math.floor(n / 9) % 8), Math.floor(n / 72)]),
  ),
  shape,
  indexToWorld: fromFrame([spacing[0], 0, 0], [0, spacing[1], 0], [0, 0, spacing[2]], [0, 0, 0]),
})

test('reslice(oblique plane) has the grey of every pixel centre', () => {
  const plane = {
    origin: [0.3, 0.2, 0.4] as const,
    du: [0.2, 0.05, 0.3] as const,
    dv: [0.1, 0.1, -0.02] as const,
    width: 11,
    height: 9,
  }
  const pixels = reslice(volume, plane)
  for (let v = 0; v < plane.height; v++)
    for (let u = 0; u < plane.width; u++) {
      const point: Vec3 = [
        plane.origin[0] + u * plane.du[0] + v * plane.dv[0],
        plane.origin[1] + u * plane.du[1] + v * plane.dv[1],
        plane.origin[2] + u * plane.du[2] + v * plane.dv[2],
      ]
      const inside = point[0] <= 4 && point[1] <= 1.75 && point[2] <= 6 && point[2] >= 0
      if (inside) expect(pixels[v * plane.width + u]).toBeCloseTo(linear(point), 3)
      else expect(pixels[v * plane.width + u]).toBeNaN()
    }
})

test('reslice(plane, out) fills the array it is given and refuses one of another size', () => {
  const plane = {
    origin: [0, 0, 0] as const,
    du: [0.5, 0, 0] as const,
    dv: [0, 0.25, 0] as const,
    width: 3,
    height: 2,
  }
  const out = new Float32Array(6)
  expect(reslice(volume, plane, out)).toBe(out)
  expect(Array.from(out)).toEqual([0, 0.5, 1, 2.5, 3, 3.5])
  expect(() => reslice(volume, plane, new Float32Array(5))).toThrow('needs 6 pixels, got 5')
})
