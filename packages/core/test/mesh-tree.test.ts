import { describe, expect, test } from 'vitest'
import { tabulatedCrown } from '../src/crown/index.js'
import { cross, dot, intersectLine, type Mesh, subtract, type Vec3 } from '../src/space/index.js'
import { lastCrossing, lineCrossings, meshTree, passageThrough } from '../src/space/mesh-tree.js'
import { axisAlong, axisCoordinates, nearestFacingAway } from '../src/space/mesh-tree-axis.js'
import { block } from './block-crown.js'
import { seeded, soup, subdivided } from './random-meshes.js'

const octahedron: Mesh = {
  positions: Float64Array.from([1, 0, 0, -1, 0, 0, 0, 1, 0, 0, -1, 0, 0, 0, 1, 0, 0, -1]),
  triangles: Uint32Array.from([0, 2, 4, 2, 1, 4, 1, 3, 4, 3, 0, 4, 2, 0, 5, 1, 2, 5, 3, 1, 5, 0, 3, 5]),
}

const meshes: Record<string, Mesh> = {
  'crown of 11': tabulatedCrown('11').mesh,
  'crown of 36': tabulatedCrown('36').mesh,
  'a block': block(10.5),
  '800 triangles at random': soup(seeded(7), 800),
}

describe('lines through a mesh', () => {
  test.each(Object.keys(meshes))('%s: as every triangle in turn', (name) => {
    const mesh = meshes[name]
    const tree = meshTree(mesh)
    const next = seeded(name.length)
    let met = 0
    for (let n = 0; n < 400; n++) {
      const origin: Vec3 = [6 * next() - 3, 6 * next() - 3, 14 * next() - 12]
      const direction: Vec3 = [2 * next() - 1, 2 * next() - 1, 2 * next() - 1]
      const slow = intersectLine(mesh, origin, direction)
      const fast = lineCrossings(tree, origin, direction)
      expect(fast.map((hit) => hit.triangle)).toEqual(slow.map((hit) => hit.triangle))
      for (const [i, hit] of fast.entries()) expect(hit.distance).toBeCloseTo(slow[i].distance, 10)
      const ahead = fast.filter((hit) => hit.distance > 0)
      expect(lastCrossing(tree, origin, direction)).toEqual(ahead.at(-1) ?? null)
      const passage = ahead.length > 0 ? { first: ahead[0], last: ahead.at(-1) } : null
      expect(passageThrough(tree, origin, direction)).toEqual(passage)
      met += fast.length
    }
    expect(met).toBeGreaterThan(100)
  })

  test('no line slips through an edge or a corner of a closed mesh', () => {
    // Round, so that no line from inside only grazes it.
    const mesh = subdivided(octahedron, 24)
    const p = mesh.positions
    for (let i = 0; i < p.length; i += 3) {
      const size = Math.hypot(p[i], p[i + 1], p[i + 2])
      for (let k = 0; k < 3; k++) p[i + k] *= (5 * (1 + 1e-3 * k)) / size
    }
    const tree = meshTree(mesh)
    const inside: Vec3 = [0.31, 0.12, -2.7]
    for (let i = 0; i < mesh.triangles.length; i++) {
      const a = 3 * mesh.triangles[i]
      const b = 3 * mesh.triangles[i % 3 === 2 ? i - 2 : i + 1]
      for (const share of [0, 0.5, 0.123]) {
        const [x, y, z] = [0, 1, 2].map((k) => p[a + k] + share * (p[b + k] - p[a + k]) - inside[k])
        expect(lastCrossing(tree, inside, [x, y, z])?.distance ?? 0).toBeCloseTo(1, 9)
      }
    }
  })

  test('lines along an axis of the boxes, through corners, along edges and in faces end and give numbers', () => {
    const mesh = block(10.5)
    const tree = meshTree(mesh)
    expect(lineCrossings(tree, [1, 2, 5], [0, 0, -1]).map((hit) => hit.distance.toFixed(9))).toEqual([
      '5.000000000',
      '15.500000000',
    ])
    expect(lineCrossings(tree, [0, 0, -5], [0, 0, 0])).toEqual([])
    expect(lineCrossings(tree, [Number.NaN, 0, -5], [0, 0, 1])).toEqual([])
    for (const origin of [
      [12, 12, -5],
      [12, 0, -5],
      [12, 12, 0],
    ] as const)
      for (const direction of [
        [0, 0, -1],
        [1, 0, 0],
        [0, 1, 0],
        [1, 1, 0],
      ] as const)
        for (const hit of lineCrossings(tree, origin, direction)) expect(hit.distance).not.toBeNaN()
  })

  test('triangles without area, of one point, with broken corners, and meshes of nothing', () => {
    const broken: Mesh = {
      positions: Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, Number.NaN, 0, 0, 2, 0, 0, 1e300, 0, 1]),
      triangles: Uint32Array.from([0, 1, 2, 0, 0, 0, 0, 1, 4, 1, 2, 3, 1, 1, 2, 0, 1, 5]),
    }
    const hits = lineCrossings(meshTree(broken), [0.25, 0.25, 5], [0, 0, -1])
    expect(hits.map((hit) => [hit.distance, hit.triangle])).toEqual([[5, 0]])
    const nothing: Mesh = { positions: new Float64Array(), triangles: new Uint32Array() }
    expect(lineCrossings(meshTree(nothing), [0, 0, 1], [0, 0, -1])).toEqual([])
    expect(lastCrossing(meshTree(nothing), [0, 0, 1], [0, 0, -1])).toBeNull()
    expect(passageThrough(meshTree(nothing), [0, 0, 1], [0, 0, -1])).toBeNull()
    const axis = axisAlong([0, 0, 0], [0, 0, 1], [1, 0, 0])
    expect(nearestFacingAway(meshTree(nothing), axis, -9, 9)).toBeNull()
    const same = 20_000
    const heap: Mesh = {
      positions: broken.positions,
      triangles: new Uint32Array(3 * same).map((_, i) => i % 3),
    }
    expect(lineCrossings(meshTree(heap), [0.25, 0.25, 5], [0, 0, -1])).toHaveLength(same)
  })

  test('a mesh has one tree', () => {
    const mesh = block(3)
    expect(meshTree(mesh)).toBe(meshTree(mesh))
  })
})

describe('nearestFacingAway', () => {
  const box = meshTree(block(10, 3))

  test('of a box: the distance of its faces, and nothing between heights that it does not reach', () => {
    const axis = axisAlong([1, 0, 5], [0, 0, -1], [1, 0, 0])
    const found = nearestFacingAway(box, axis, 6, 14)
    expect(found?.distance).toBeCloseTo(2, 12)
    expect(found?.at[0]).toBeCloseTo(2, 12)
    expect(nearestFacingAway(box, axis, 20, 30)).toBeNull()
    expect(nearestFacingAway(box, axis, 6, 14, 1.9)).toBeNull()
    expect(nearestFacingAway(box, axis, 7, 6)).toBeNull()
  })

  test('of a box it stands beside: the far side faces away, the near one does not', () => {
    const beside = axisAlong([5, 0, 5], [0, 0, -1], [1, 0, 0])
    expect(nearestFacingAway(box, beside, 6, 14)?.distance).toBeCloseTo(Math.hypot(2, 3), 12)
    const above = axisAlong([-20, 0, 5], [1, 0, 0], [0, 0, 1])
    expect(nearestFacingAway(box, above, 18, 22)?.distance).toBeCloseTo(Math.hypot(3, 5), 12)
  })

  test('a slope that the axis goes through faces away on its lower side', () => {
    // A plane that falls 45 degrees towards +x, seen along the axis downwards.
    const slope: Mesh = {
      positions: Float64Array.from([-9, -9, 9, 9, -9, -9, 9, 9, -9, -9, 9, 9]),
      triangles: Uint32Array.from([0, 1, 2, 0, 2, 3]),
    }
    const axis = axisAlong([1, 0, 20], [0, 0, -1], [1, 0, 0])
    expect(nearestFacingAway(meshTree(slope), axis, 0, 40)?.distance).toBeCloseTo(0, 12)
    // Uphill of the axis lie heights below 21, and what lies there faces it.
    expect(nearestFacingAway(meshTree(slope), axis, 0, 20.5)).toBeNull()
    expect(nearestFacingAway(meshTree(slope), axis, 22.5, 40)?.distance).toBeCloseTo(1.5, 12)
  })

  test.each(Object.keys(meshes))('%s: as every triangle sampled finely', (name) => {
    const mesh = meshes[name]
    const tree = meshTree(mesh)
    const next = seeded(99)
    for (let n = 0; n < 5; n++) {
      const origin: Vec3 = [8 * next() - 4, 8 * next() - 4, -4 * next()]
      const axis = axisAlong(origin, [next() - 0.5, next() - 0.5, -1], [1, 0, 0])
      const [low, high] = [next() - 1.2, 2 * next()]
      const found = nearestFacingAway(tree, axis, low, high)
      let least = Number.POSITIVE_INFINITY
      const vertexAt = (i: number): Vec3 => [mesh.positions[i], mesh.positions[i + 1], mesh.positions[i + 2]]
      for (let t = 0; t < mesh.triangles.length / 3; t++) {
        const corner = (i: number) => 3 * mesh.triangles[3 * t + i]
        const [a, b, c] = [corner(0), corner(1), corner(2)]
        const normal = cross(subtract(vertexAt(b), vertexAt(a)), subtract(vertexAt(c), vertexAt(a)))
        const away = [dot(normal, axis.u), dot(normal, axis.v)]
        const steps = mesh.triangles.length < 100 ? 300 : 6
        for (let i = 0; i <= steps; i++)
          for (let j = 0; j <= steps - i; j++) {
            const at = [0, 1, 2].map((k) => {
              const p = mesh.positions
              return p[a + k] + (i / steps) * (p[b + k] - p[a + k]) + (j / steps) * (p[c + k] - p[a + k])
            })
            const [u, v, height] = axisCoordinates(axis, [at[0], at[1], at[2]])
            if (height < low || height > high || u * away[0] + v * away[1] <= 0) continue
            least = Math.min(least, Math.hypot(u, v))
          }
      }
      if (found === null) expect(least).toBe(Number.POSITIVE_INFINITY)
      else {
        expect(found.distance).toBeLessThanOrEqual(least + 1e-9)
        expect(found.distance).toBeGreaterThan(least - 0.15)
        expect(Math.hypot(found.at[0], found.at[1])).toBeCloseTo(found.distance, 9)
        expect(found.at[2]).toBeGreaterThanOrEqual(low - 1e-9)
        expect(found.at[2]).toBeLessThanOrEqual(high + 1e-9)
      }
    }
  })
})
