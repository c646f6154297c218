import { describe, expect, test } from 'vitest'
import {
  accessExit,
  crownFrameOf,
  crownFromMesh,
  crownSection,
  edgeAt,
  tabulatedCrown,
  toothDimensions,
} from '../src/crown/index.js'
import type { Mesh, Vec3 } from '../src/space/index.js'
import { fromFrame, invert, multiply, transformDirection, transformPoint } from '../src/space/index.js'

const angle = 0.4
/** From the crown frame to a place in the mouth. */
const POSE = fromFrame(
  [0, -Math.cos(angle), -Math.sin(angle)],
  [1, 0, 0],
  [0, -Math.sin(angle), Math.cos(angle)],
  [4.5, -60, 12],
)

const moved = (mesh: Mesh, matrix: readonly number[]): Mesh => {
  const positions = new Float64Array(mesh.positions.length)
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [mesh.positions[i], mesh.positions[i + 1], mesh.positions[i + 2]]
    positions.set(transformPoint(matrix, p), i)
  }
  return { positions, triangles: mesh.triangles }
}

describe('crownFromMesh', () => {
  test.each(['11', '12', '13', '22', '31', '33', '42'])('finds the incisal-edge line of %s', (tooth) => {
    const known = tabulatedCrown(tooth)
    const found = crownFromMesh(known.mesh, tooth)
    expect(found.lengthMm).toBeCloseTo(toothDimensions(tooth).crownLengthMm, 2)
    expect(Math.sign(found.edge[0][1])).toBe(Math.sign(known.edge[0][1]))
    const ends = [known.landmarks.edgeDistal[1], known.landmarks.edgeMesial[1]]
    for (const share of [0.05, 0.3, 0.5, 0.7, 0.95]) {
      const y = ends[0] + share * (ends[1] - ends[0])
      const [x, , z] = edgeAt(found, y)
      expect(Math.abs(x - edgeAt(known, y)[0])).toBeLessThan(0.1)
      expect(Math.abs(z - edgeAt(known, y)[2])).toBeLessThan(0.1)
    }
  })

  test.each(['14', '15', '36', '37', '46'])('finds the central groove of %s', (tooth) => {
    const known = tabulatedCrown(tooth)
    const found = crownFromMesh(known.mesh, tooth)
    expect(Math.abs(edgeAt(found, 0)[0] - edgeAt(known, 0)[0])).toBeLessThan(0.4)
    expect(found.occlusalTable?.length).toBeGreaterThan(20)
  })

  test('a mesh in its own coordinates, with its apical and facial directions, answers like the crown itself', () => {
    const known = tabulatedCrown('11')
    // The mesh as scanned: turned and moved, in millimetres.
    const own = fromFrame([0, 0, 1], [1, 0, 0], [0, 1, 0], [100, -20, 7])
    const scanned = moved(known.mesh, own)
    const frame = crownFrameOf(
      scanned,
      transformDirection(own, [0, 0, 1]),
      transformDirection(own, [1, 0.01, 0.2]),
    )
    const found = crownFromMesh(scanned, '11', frame)
    const plannedPose = multiply(POSE, invert(own))
    const question = {
      fixture: {
        platform: transformPoint(POSE, [0.6, 0.3, 3.5]),
        apical: transformDirection(POSE, [-0.1, 0.02, 1]),
      },
      site: { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] },
    } as const
    const direct = accessExit({ crown: known, pose: POSE, ...question })
    const imported = accessExit({ crown: found, pose: multiply(plannedPose, frame), ...question })
    expect(imported.class).toBe(direct.class)
    expect(imported.offsetMm).toBeCloseTo(direct.offsetMm ?? Number.NaN, 1)
    expect(imported.exitDistanceMm).toBeCloseTo(direct.exitDistanceMm ?? Number.NaN, 6)
  })

  test('refuses a mesh that is empty, broken or inside out', () => {
    const { mesh } = tabulatedCrown('11')
    const inside: Mesh = { positions: mesh.positions, triangles: mesh.triangles.slice().reverse() }
    const broken: Mesh = {
      positions: mesh.positions.map((v, i) => (i === 9 ? Number.NaN : v)),
      triangles: mesh.triangles,
    }
    const empty: Mesh = { positions: new Float64Array(), triangles: new Uint32Array() }
    expect(() => crownFromMesh(inside, '11')).toThrow('inside out')
    expect(() => crownFromMesh(broken, '11')).toThrow('broken')
    expect(() => crownFromMesh(empty, '11')).toThrow('empty')
    expect(() => crownFromMesh(mesh, '99')).toThrow('"99"')
  })
})

test('crownSection: the facial-palatal outline of a placed 11 is one closed line as long and as wide as the tooth', () => {
  const plane = { origin: transformPoint(POSE, [0, 0, 0]), normal: transformDirection(POSE, [0, 1, 0]) }
  const lines = crownSection(tabulatedCrown('11'), POSE, plane)
  expect(lines).toHaveLength(1)
  expect(lines[0].closed).toBe(true)
  const local = lines[0].points.map((p) => transformPoint(invert(POSE), p))
  const span = (axis: 0 | 2) =>
    Math.max(...local.map((p) => p[axis])) - Math.min(...local.map((p) => p[axis]))
  expect(span(0)).toBeCloseTo(7, 1)
  // Seen from the front the edge is not quite level, so that the middle may be a little shorter than the crown.
  expect(span(2)).toBeGreaterThan(10.4)
  expect(span(2)).toBeLessThanOrEqual(10.5)
  // A dentist's eye: 0.8 to 1.8 mm thick half a millimetre to one below the edge, thickest in the cervical third.
  const thickness = (z: number) => {
    const xs = local.filter((p) => Math.abs(p[2] - z) < 0.35).map((p) => p[0])
    return Math.max(...xs) - Math.min(...xs)
  }
  expect(thickness(-9.8)).toBeGreaterThan(0.8)
  expect(thickness(-9.8)).toBeLessThan(1.8)
  expect(thickness(-2)).toBeGreaterThan(6.5)
})
