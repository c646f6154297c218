import { describe, expect, test } from 'vitest'
import { isPosterior, oralSide, plusYSide, tabulatedCrown, toothDimensions } from '../src/crown/index.js'
import type { Mesh, Vec3 } from '../src/space/index.js'
import { corners, cross, dot, enclosedVolume, intersectLine, length, subtract } from '../src/space/index.js'
import { seeded } from './random-meshes.js'

const TEETH = [1, 2, 3, 4].flatMap((quadrant) =>
  [1, 2, 3, 4, 5, 6, 7, 8].map((place) => `${quadrant}${place}`),
)

const points = (mesh: Mesh): Vec3[] =>
  Array.from({ length: mesh.positions.length / 3 }, (_, i) => [
    mesh.positions[3 * i],
    mesh.positions[3 * i + 1],
    mesh.positions[3 * i + 2],
  ])

const LANDMARKS = [
  ...(['mesialContact', 'distalContact', 'facialContour', 'oralContour'] as const),
  ...(['edgeCentre', 'edgeMesial', 'edgeDistal', 'zenith'] as const),
]

/** Without the sign of zeros. */
const plain = (p: Vec3): Vec3 => [p[0] + 0, p[1] + 0, p[2] + 0]

const extent = (values: readonly number[]) => Math.max(...values) - Math.min(...values)

test('toothDimensions(11) is the textbook row, an unknown tooth is refused by name', () => {
  expect(toothDimensions('11')).toMatchObject({
    ...{ crownLengthMm: 10.5, rootLengthMm: 13, widthMdMm: 8.5, cervicalMdMm: 7 },
    ...{ widthLlMm: 7, cervicalLlMm: 6, cejMesialMm: 3.5, cejDistalMm: 2.5 },
  })
  for (const wrong of ['19', '51', '1', '011', '']) expect(() => toothDimensions(wrong)).toThrow(`"${wrong}"`)
})

test('plusYSide: y = apical x facial points to the midline in quadrants 1 and 3', () => {
  // LPS: +x is the patient's left, -y anterior, +z superior. Quadrants 1 and 4 are on the right, so their midline is at +x.
  const facial: Vec3 = [0, -1, 0]
  for (const [tooth, apicalZ, side] of [
    ['11', 1, 'right'],
    ['21', 1, 'left'],
    ['31', -1, 'left'],
    ['41', -1, 'right'],
  ] as const) {
    const y = cross([0, 0, apicalZ], facial)
    const towardsMidline = side === 'right' ? y[0] > 0 : y[0] < 0
    expect(plusYSide(tooth)).toBe(towardsMidline ? 'mesial' : 'distal')
  }
})

test('oralSide and isPosterior', () => {
  expect([oralSide('13'), oralSide('43')]).toEqual(['palatal', 'lingual'])
  expect([isPosterior('13'), isPosterior('14'), isPosterior('33'), isPosterior('38')]).toEqual([
    false,
    true,
    false,
    true,
  ])
})

describe.each(TEETH)('tabulatedCrown(%s)', (tooth) => {
  const crown = tabulatedCrown(tooth)
  const size = toothDimensions(tooth)
  const all = points(crown.mesh)

  test('measures what the table says', () => {
    expect(extent(all.map((p) => p[1]))).toBeCloseTo(size.widthMdMm, 2)
    expect(extent(all.map((p) => p[0]))).toBeCloseTo(size.widthLlMm, 2)
    expect(Math.min(...all.map((p) => p[2]))).toBeCloseTo(-size.crownLengthMm, 2)
    expect(Math.max(...all.map((p) => p[2]))).toBeCloseTo(0, 2)
    expect(extent(crown.cejCurve.map((p) => p[1]))).toBeCloseTo(size.cervicalMdMm, 2)
    expect(extent(crown.cejCurve.map((p) => p[0]))).toBeCloseTo(size.cervicalLlMm, 2)
  })

  test('has the cervical line on the right sides', () => {
    const mesial = plusYSide(tooth) === 'mesial' ? 1 : -1
    const furthest = (sign: number) => crown.cejCurve.reduce((a, b) => (sign * b[1] > sign * a[1] ? b : a))
    expect(furthest(mesial)[2]).toBeCloseTo(-size.cejMesialMm, 2)
    expect(furthest(-mesial)[2]).toBeCloseTo(-size.cejDistalMm, 2)
    expect(Math.sign(crown.edge[0][1])).toBe(mesial)
  })

  test('is closed, wound outward and without flat triangles', () => {
    const { mesh } = crown
    // Every directed edge once, and its opposite once.
    const edges = new Set<number>()
    const opposite = new Set<number>()
    for (let t = 0; t < mesh.triangles.length; t += 3)
      for (let i = 0; i < 3; i++) {
        const a = mesh.triangles[t + i]
        const b = mesh.triangles[t + ((i + 1) % 3)]
        edges.add(a * 65536 + b)
        opposite.add(b * 65536 + a)
      }
    expect(edges.size).toBe(mesh.triangles.length)
    expect([...opposite].every((edge) => edges.has(edge))).toBe(true)
    // Euler: a closed surface without holes through it.
    expect(all.length - edges.size / 2 + mesh.triangles.length / 3).toBe(2)
    expect(mesh.positions.every(Number.isFinite)).toBe(true)
    const doubleAreas = crown.regions.map((_, t) => {
      const [a, b, c] = corners(mesh, t)
      return length(cross(subtract(b, a), subtract(c, a)))
    })
    expect(Math.min(...doubleAreas)).toBeGreaterThan(1e-6)
    expect(crown.regions).toHaveLength(mesh.triangles.length / 3)
    const box = size.crownLengthMm * size.widthMdMm * size.widthLlMm
    expect(enclosedVolume(mesh) / box).toBeGreaterThan(0.3)
    expect(enclosedVolume(mesh) / box).toBeLessThan(0.8)
  })

  test('is a few thousand triangles, and nowhere runs into itself', () => {
    expect(crown.regions.length).toBeGreaterThan(5000)
    expect(crown.regions.length).toBeLessThan(12_000)
    // A line into a surface that does not cross itself goes in, out, in, out.
    const random = seeded(7)
    for (let n = 0; n < 150; n++) {
      const origin: Vec3 = [
        (random() - 0.5) * size.widthLlMm,
        (random() - 0.5) * size.widthMdMm,
        -random() * size.crownLengthMm,
      ]
      const direction: Vec3 = [random() - 0.5, random() - 0.5, random() - 0.5]
      const inward = intersectLine(crown.mesh, origin, direction).map(({ triangle }) => {
        const [a, b, c] = corners(crown.mesh, triangle)
        return dot(cross(subtract(b, a), subtract(c, a)), direction) < 0
      })
      expect(inward).toEqual(inward.map((_, i) => i % 2 === 0))
    }
  })

  test('folds nowhere: the edge or occlusal surface looks coronally all over, the base apically', () => {
    const rise = crown.regions.map((_, t) => {
      const [a, b, c] = corners(crown.mesh, t)
      return cross(subtract(b, a), subtract(c, a))[2]
    })
    expect(Math.max(...rise.filter((_, t) => crown.regions[t] === 'edge'))).toBeLessThan(1e-9)
    expect(Math.min(...rise.filter((_, t) => crown.regions[t] === 'base'))).toBeGreaterThan(-1e-9)
  })

  test('has its faces where they belong', () => {
    const mesial = plusYSide(tooth) === 'mesial' ? 1 : -1
    const outward: Record<string, Vec3> = {
      facial: [1, 0, 0],
      oral: [-1, 0, 0],
      mesial: [0, mesial, 0],
      distal: [0, -mesial, 0],
      edge: [0, 0, -1],
      base: [0, 0, 1],
    }
    const sums = new Map<string, number>()
    for (const [t, region] of crown.regions.entries()) {
      const [a, b, c] = corners(crown.mesh, t)
      const normal = cross(subtract(b, a), subtract(c, a))
      const way = outward[region]
      sums.set(region, (sums.get(region) ?? 0) + normal[0] * way[0] + normal[1] * way[1] + normal[2] * way[2])
    }
    expect([...sums.keys()].sort()).toEqual(['base', 'distal', 'edge', 'facial', 'mesial', 'oral'])
    for (const sum of sums.values()) expect(sum).toBeGreaterThan(0)
  })
})

test.each(TEETH.filter((tooth) => tooth[0] === '1' || tooth[0] === '4'))(
  'the crown of %s is the mirror image of the other side',
  (tooth) => {
    const right = tabulatedCrown(tooth)
    const left = tabulatedCrown(`${tooth[0] === '1' ? 2 : 3}${tooth[1]}`)
    const turned = ([x, y, z]: Vec3): Vec3 => [x, -y, z]
    expect(points(left.mesh).map(plain)).toEqual(points(right.mesh).map(turned).map(plain))
    expect(left.edge.map(plain)).toEqual(right.edge.map(turned).map(plain))
    expect(left.cejCurve.map(plain)).toEqual(right.cejCurve.map(turned).map(plain))
    expect(left.regions).toEqual(right.regions)
    expect(enclosedVolume(left.mesh)).toBeCloseTo(enclosedVolume(right.mesh), 9)
    for (const name of LANDMARKS)
      expect(plain(left.landmarks[name])).toEqual(plain(turned(right.landmarks[name])))
  },
)

test('the mesial corner of 11 is the sharper one and its contact the more incisal', () => {
  const { edgeMesial, edgeDistal, mesialContact, distalContact } = tabulatedCrown('11').landmarks
  expect(edgeMesial[1]).toBeGreaterThan(-edgeDistal[1])
  expect(mesialContact[2]).toBeLessThan(distalContact[2])
})

test('the zenith lies on the margin, distal of the middle as Chu 2009 measured it: 1.0, 0.4 and 0 mm', () => {
  for (const [tooth, distalMm] of [
    ['11', 1],
    ['12', 0.4],
    ['13', 0],
    ['21', 1],
    ['22', 0.4],
    ['23', 0],
    ['31', 0],
    ['16', 0],
  ] as const) {
    const { mesh, cejCurve, landmarks } = tabulatedCrown(tooth)
    const mesial = plusYSide(tooth) === 'mesial' ? 1 : -1
    expect(landmarks.zenith[1] * mesial).toBeCloseTo(-distalMm, 6)
    expect(landmarks.zenith[2]).toBeCloseTo(0, 9)
    expect(landmarks.zenith[0]).toBeGreaterThan(0)
    expect(cejCurve).toContainEqual(landmarks.zenith)
    expect(points(mesh)).toContainEqual(landmarks.zenith)
    for (const p of cejCurve) if (p[0] > 0) expect(p[2]).toBeLessThanOrEqual(landmarks.zenith[2] + 1e-12)
  }
})

test('the base ends at the cervical margin: their common points are the margin, and no wall point lies below it', () => {
  for (const tooth of ['11', '13', '36']) {
    const { mesh, regions, cejCurve } = tabulatedCrown(tooth)
    const corner = (t: number) => [...mesh.triangles.subarray(3 * t, 3 * t + 3)]
    const base = new Set(regions.flatMap((region, t) => (region === 'base' ? corner(t) : [])))
    const others = new Set(regions.flatMap((region, t) => (region === 'base' ? [] : corner(t))))
    const shared = [...base].filter((i) => others.has(i)).map((i) => points(mesh)[i])
    expect(shared).toHaveLength(cejCurve.length)
    for (const p of shared) expect(cejCurve).toContainEqual(p)
  }
})
