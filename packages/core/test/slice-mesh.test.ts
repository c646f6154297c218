import { expect, test } from 'vitest'
import type { Mesh, Polyline, Vec3 } from '../src/space/index.js'
import { cross, dot, length, sliceMesh } from '../src/space/index.js'

const cube: Mesh = {
  positions: Float64Array.from([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0, 0, 0, 1, 1, 0, 1, 1, 1, 1, 0, 1, 1]),
  triangles: Uint32Array.from(
    [
      [3, 2, 1, 0],
      [4, 5, 6, 7],
      [0, 1, 5, 4],
      [1, 2, 6, 5],
      [2, 3, 7, 6],
      [3, 0, 4, 7],
    ].flatMap(([a, b, c, d]) => [a, b, c, a, c, d]),
  ),
}

/** A sphere of radius 1 in rings of latitude. */
function sphere(rings: number, around: number): Mesh {
  const positions = [0, 0, 1]
  for (let i = 1; i < rings; i++)
    for (let k = 0; k < around; k++) {
      const theta = (Math.PI * i) / rings
      const phi = (2 * Math.PI * k) / around
      positions.push(Math.sin(theta) * Math.cos(phi), Math.sin(theta) * Math.sin(phi), Math.cos(theta))
    }
  positions.push(0, 0, -1)
  const south = positions.length / 3 - 1
  const at = (i: number, k: number) => 1 + (i - 1) * around + (k % around)
  const triangles: number[] = []
  for (let k = 0; k < around; k++) {
    triangles.push(0, at(1, k), at(1, k + 1), south, at(rings - 1, k + 1), at(rings - 1, k))
    for (let i = 1; i + 1 < rings; i++)
      triangles.push(at(i, k), at(i + 1, k), at(i + 1, k + 1), at(i, k), at(i + 1, k + 1), at(i, k + 1))
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

/** Signed area about the unit normal: positive counter-clockwise seen from its tip. */
function area(line: Polyline, normal: Vec3): number {
  let sum: Vec3 = [0, 0, 0]
  for (const [i, p] of line.points.entries()) {
    const c = cross(p, line.points[(i + 1) % line.points.length])
    sum = [sum[0] + c[0], sum[1] + c[1], sum[2] + c[2]]
  }
  return dot(sum, normal) / 2
}

test('sliceMesh(cube) is one closed square, counter-clockwise', () => {
  const cuts = sliceMesh(cube, [0, 0, 0.3], [0, 0, 2])
  expect(cuts).toHaveLength(1)
  expect(cuts[0].closed).toBe(true)
  expect(cuts[0].points.every((p) => Math.abs(p[2] - 0.3) < 1e-12)).toBe(true)
  expect(area(cuts[0], [0, 0, 1])).toBeCloseTo(1, 12)
  expect(area(sliceMesh(cube, [0, 0, 0.3], [0, 0, -1])[0], [0, 0, -1])).toBeCloseTo(1, 12)
})

test('sliceMesh(cube, across its diagonal) is the regular hexagon of side 1/sqrt 2', () => {
  const normal: Vec3 = [1 / Math.sqrt(3), 1 / Math.sqrt(3), 1 / Math.sqrt(3)]
  const cuts = sliceMesh(cube, [0.5, 0.5, 0.5], normal)
  expect(cuts).toHaveLength(1)
  // Area of a regular hexagon: 3 sqrt(3) / 2 side^2.
  expect(area(cuts[0], normal)).toBeCloseTo((3 * Math.sqrt(3)) / 4, 12)
})

test('a plane that misses gives nothing, one in a face gives that face once', () => {
  expect(sliceMesh(cube, [0, 0, 1.5], [0, 0, 1])).toEqual([])
  expect(sliceMesh(cube, [0, 0, 1], [0, 0, 1])).toHaveLength(1)
  expect(sliceMesh(cube, [0, 0, 0], [0, 0, 1])).toHaveLength(0)
  expect(() => sliceMesh(cube, [0, 0, 0], [0, 0, 0])).toThrow(RangeError)
})

test('sliceMesh(sphere at height h) is a circle of radius sqrt(1 - h^2), also through vertices', () => {
  const ball = sphere(64, 128)
  for (const h of [-0.7, -0.2, 0, 0.123, 0.8]) {
    const cuts = sliceMesh(ball, [0, h, 0], [0, 1, 0])
    expect(cuts).toHaveLength(1)
    expect(cuts[0].closed).toBe(true)
    const radii = cuts[0].points.map((p) => length([p[0], 0, p[2]]))
    const radius = Math.sqrt(1 - h * h)
    expect(Math.max(...radii)).toBeLessThanOrEqual(radius + 1e-12)
    expect(Math.min(...radii)).toBeGreaterThan(radius - 0.003)
    expect(area(cuts[0], [0, 1, 0])).toBeCloseTo(Math.PI * radius * radius, 1)
  }
})

test('an open mesh gives an open line', () => {
  const lid: Mesh = { positions: cube.positions, triangles: cube.triangles.slice(6) }
  const cuts = sliceMesh(lid, [0.5, 0, 0], [1, 0, 0])
  expect(cuts).toHaveLength(1)
  expect(cuts[0].closed).toBe(false)
  expect(cuts[0].points.filter((p) => p[2] === 0)).toHaveLength(2)
})
