import { along, type ImagePlane, type Vec3 } from '@alveometer/core'
import { expect, test } from 'vitest'
import { coarserPlane } from '../src/drawing/coarser-plane.js'

const plane: ImagePlane = { origin: [3, 4, 5], du: [0.05, 0, 0], dv: [0, 0, -0.05], width: 655, height: 331 }

/** The corner of a plane's outer edge: half a step before its first sample, or after its last. */
const edge = (p: ImagePlane, u: number, v: number): Vec3 =>
  along(along(p.origin, p.du, u - 0.5), p.dv, v - 0.5)

test('a coarser plane covers the same rectangle', () => {
  const fewer = coarserPlane(plane, 0.125)
  expect([fewer.width, fewer.height]).toEqual([262, 132])
  for (const [u, v] of [
    [0, 0],
    [1, 0],
    [0, 1],
  ] as const) {
    const [was, is] = [
      edge(plane, u * plane.width, v * plane.height),
      edge(fewer, u * fewer.width, v * fewer.height),
    ]
    is.forEach((value, n) => {
      expect(value).toBeCloseTo(was[n] as number, 9)
    })
  }
})

test('its samples are never further apart than four pixels, and a coarse plane stays as it is', () => {
  expect(Math.hypot(...coarserPlane(plane, 1).du)).toBeCloseTo(0.2, 2)
  expect(coarserPlane(plane, 0.05)).toBe(plane)
  expect(coarserPlane(plane, 0)).toBe(plane)
})
