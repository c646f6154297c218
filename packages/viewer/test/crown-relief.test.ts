import { type Mesh, type Vec3, vertex } from '@alveometer/core'
import { expect, test } from 'vitest'
import { contours, silhouette } from '../src/crown-view/outlines.js'
import { hides, relief } from '../src/crown-view/relief.js'
import { vertexNormals } from '../src/scene/solids.js'

/** A ball round a point, wound outward. */
function ball(radiusMm: number, [cx, cy, cz]: Vec3, rings = 60): Mesh {
  const positions: number[] = []
  const triangles: number[] = []
  const round = 2 * rings
  for (let i = 0; i <= rings; i++)
    for (let j = 0; j < round; j++) {
      const [theta, phi] = [(Math.PI * i) / rings, (2 * Math.PI * j) / round]
      positions.push(
        cx + radiusMm * Math.sin(theta) * Math.cos(phi),
        cy + radiusMm * Math.sin(theta) * Math.sin(phi),
        cz + radiusMm * Math.cos(theta),
      )
    }
  for (let i = 0; i < rings; i++)
    for (let j = 0; j < round; j++) {
      const [a, b] = [i * round + j, i * round + ((j + 1) % round)]
      triangles.push(a, a + round, b, b, a + round, b + round)
    }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

const front = { right: [1, 0, 0], down: [0, 0, -1], pixelsPerMm: 20 } as const

test('a ball has the depth of a ball, and light after the cosine law', () => {
  const mesh = ball(3, [1, 2, -1])
  const seen = relief(mesh, vertexNormals(mesh), front)
  // right x down = (1,0,0) x (0,0,-1) = +y: looked along.
  expect(seen.into.map((v) => v + 0)).toEqual([0, 1, 0])
  expect(seen.width).toBeGreaterThanOrEqual(120)
  let checked = 0
  for (let y = 0; y < seen.height; y++)
    for (let x = 0; x < seen.width; x++) {
      const px = seen.leftMm + (x + 0.5) / 20 - 1
      const pz = -(seen.topMm + (y + 0.5) / 20) + 1
      const off = Math.hypot(px, pz)
      const depth = seen.depthMm[y * seen.width + x]
      if (off > 3.05) expect(depth).toBe(Infinity)
      if (off > 2.7) continue
      const rise = Math.sqrt(9 - off * off)
      expect(Math.abs(depth - (2 - rise))).toBeLessThan(0.02)
      const cosine = (-0.36 * px - 0.48 * -pz + 0.8 * rise) / 3
      expect(Math.abs(seen.light[y * seen.width + x] - (0.3 + 0.7 * Math.max(0, cosine)))).toBeLessThan(0.02)
      checked++
    }
  expect(checked).toBeGreaterThan(8000)
})

test('the nearer of two balls is seen, and hides what is behind it', () => {
  const [near, far] = [ball(1, [0, -5, 0]), ball(2, [0, 5, 0])]
  const count = near.positions.length / 3
  const mesh: Mesh = {
    positions: Float64Array.from([...near.positions, ...far.positions]),
    triangles: Uint32Array.from([...near.triangles, ...far.triangles.map((n) => n + count)]),
  }
  const seen = relief(mesh, vertexNormals(mesh), front)
  const middle = seen.depthMm[Math.floor(seen.height / 2) * seen.width + Math.floor(seen.width / 2)]
  expect(middle).toBeCloseTo(-6, 2)
  expect(hides(seen, [0, 3, 0])).toBe(true)
  expect(hides(seen, [0, -6, 0])).toBe(false)
  expect(hides(seen, [1.5, 5 - Math.sqrt(4 - 1.5 ** 2), 0])).toBe(false)
  expect(hides(seen, [1.5, 7, 0])).toBe(true)
  expect(hides(seen, [9, 99, 0])).toBe(false)
})

test('every vertex of the near half is seen, every one of the far half is hidden', () => {
  const mesh = ball(3, [0, 0, 0], 40)
  const seen = relief(mesh, vertexNormals(mesh), front)
  for (let n = 0; n < mesh.positions.length / 3; n++) {
    const p = vertex(mesh, n)
    if (p[1] < -0.4) expect(hides(seen, p)).toBe(false)
    if (p[1] > 0.4 && Math.hypot(p[0], p[2]) < 2.8) expect(hides(seen, p)).toBe(true)
  }
})

test('the silhouette of a ball is its circle within half a pixel', () => {
  const mesh = ball(3, [4, 0, 7])
  const loops = silhouette(relief(mesh, vertexNormals(mesh), front))
  expect(loops.length).toBe(1)
  const seen = relief(mesh, vertexNormals(mesh), front)
  for (const [x, y] of loops[0]) {
    const [px, pz] = [seen.leftMm + x / 20 - 4, -(seen.topMm + y / 20) - 7]
    expect(Math.abs(Math.hypot(px, pz) - 3) * 20).toBeLessThan(0.6)
  }
})

test('contours of a ball are circles of its depths', () => {
  const mesh = ball(3, [0, 0, 0])
  const seen = relief(mesh, vertexNormals(mesh), front)
  const pieces = contours(seen, 0.5).flat()
  expect(pieces.length).toBeGreaterThan(300)
  for (const [x, y] of pieces) {
    const off = Math.hypot(seen.leftMm + x / 20, seen.topMm + y / 20)
    const depth = -Math.sqrt(9 - off * off)
    expect(Math.abs(depth - Math.round(depth * 2) / 2)).toBeLessThan(0.03)
  }
})
