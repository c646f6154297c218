import { expect, test } from 'vitest'
import { clearance } from '../src/clearance/index.js'
import type { Mesh, Vec3 } from '../src/index.js'

const stand = { origin: [0, 0, 0] as Vec3, axis: [0, 0, 2] as Vec3 }
/** A fixture of 4 x 10 mm. */
const cylinder = [
  [0, 2],
  [10, 2],
] as const

test('without bodies there is no clearance', () => {
  expect(clearance([])(stand, cylinder)).toBeNull()
})

test('parallel cylinders are apart by the distance of their axes less both radii', () => {
  const other = { fromMm: [7, 0, -3] as Vec3, toMm: [7, 0, 12] as Vec3, radiusMm: 1.5 }
  expect(clearance([other])(stand, cylinder)).toBeCloseTo(7 - 2 - 1.5, 2)
})

test('crossing cylinders are apart by the distance of their axes less both radii', () => {
  const other = { fromMm: [-9, 5, 4] as Vec3, toMm: [9, 5, 4] as Vec3, radiusMm: 1 }
  expect(clearance([other])(stand, cylinder)).toBeCloseTo(2, 2)
})

test('a body beyond the apex is as far as its nearest end', () => {
  const other = { fromMm: [0, 0, 13] as Vec3, toMm: [0, 0, 20] as Vec3, radiusMm: 3 }
  expect(clearance([other])(stand, cylinder)).toBeCloseTo(3, 6)
})

test('a body that reaches into the fixture gives minus the depth it reaches', () => {
  const other = { fromMm: [3, 0, -3] as Vec3, toMm: [3, 0, 12] as Vec3, radiusMm: 1.5 }
  // Along the line of both axes the body's face lies at x = 1.5, half a millimetre inside.
  expect(clearance([other])(stand, cylinder)).toBeCloseTo(-0.5, 2)
})

test('a plane face of a mesh is as far from a tapered side as the closed form', () => {
  const wall: Mesh = {
    positions: Float64Array.from([5, -9, -9, 5, 9, -9, 5, -9, 19, 5, 9, 19]),
    triangles: Uint32Array.from([0, 1, 2, 1, 3, 2]),
  }
  const tapered = [
    [0, 2],
    [10, 1],
  ] as const
  expect(clearance([wall])(stand, tapered)).toBeCloseTo(3, 2)
})

test('the nearest of several bodies counts, whatever their order', () => {
  const near = { fromMm: [0, 6, 2] as Vec3, toMm: [0, 6, 8] as Vec3, radiusMm: 1 }
  const far = { fromMm: [12, 0, 2] as Vec3, toMm: [12, 0, 8] as Vec3, radiusMm: 1 }
  const a = clearance([near, far])(stand, cylinder)
  expect(a).toBeCloseTo(3, 2)
  expect(clearance([far, near])(stand, cylinder)).toBe(a)
})
