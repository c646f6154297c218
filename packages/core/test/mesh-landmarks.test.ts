import { createRandom } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { accessExit, type Crown, crownFromMesh, edgeAt, tabulatedCrown } from '../src/crown/index.js'
import type { Vec3 } from '../src/space/index.js'
import { distance, enclosedVolume, fromFrame, invert, transformPoint } from '../src/space/index.js'
import { block } from './block-crown.js'
import { movedMesh, without, withoutBase } from './crown-shells.js'

const IDENTITY = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])

const exitOf = (crown: Crown, pose = IDENTITY) =>
  accessExit({
    crown,
    pose,
    fixture: {
      platform: transformPoint(pose, [0.4, 0.2, 3.5]),
      apical: [pose[8] - 0.1 * pose[0], pose[9] - 0.1 * pose[1], pose[10] - 0.1 * pose[2]],
    },
    site: { tooth: crown.tooth, facial: [1, 0, 0], coronal: [0, 0, -1] },
  })

/** Distance from a point to the nearest one of a line's points. */
const toLine = (p: Vec3, line: readonly Vec3[]): number => Math.min(...line.map((q) => distance(p, q)))

describe('the cervical margin read off a crown', () => {
  // The line that the crown was made from.
  test.each(['11', '12', '13', '22', '14', '25', '16', '36', '46', '31', '32', '43'])(
    '%s: lies on the line of the table',
    (tooth) => {
      const known = tabulatedCrown(tooth)
      const found = crownFromMesh(known.mesh, tooth).cejCurve
      expect(found.length).toBe(72)
      for (const p of found) expect(toLine(p, known.cejCurve)).toBeLessThan(0.25)
    },
  )

  test('of a block runs round the edges of its base', () => {
    const { cejCurve } = crownFromMesh(block(8, 4), '11')
    for (const [x, y, z] of cejCurve) {
      expect(Math.abs(z)).toBeLessThan(0.4)
      expect(Math.max(Math.abs(x), Math.abs(y))).toBeGreaterThan(3.6)
    }
  })
})

describe('marks that a person set', () => {
  const known = tabulatedCrown('11')
  /** The mesh's own coordinates. */
  const own = fromFrame([0, 0, 1], [1, 0, 0], [0, 1, 0], [30, -20, 7])
  const mesh = movedMesh(known.mesh, own)

  test('ends of the edge are its ends exactly, and between them the line is read off the mesh', () => {
    const mesial = edgeAt(known, 2)
    const distal = edgeAt(known, -1.5)
    const { edge, landmarks } = crownFromMesh(mesh, '11', own, {
      edgeMesial: transformPoint(own, mesial),
      edgeDistal: transformPoint(own, distal),
    })
    expect(distance(edge[0], mesial)).toBeLessThan(1e-9)
    expect(distance(edge[edge.length - 1], distal)).toBeLessThan(1e-9)
    expect(distance(landmarks.edgeMesial, mesial)).toBeLessThan(1e-9)
    expect(edge.length).toBeGreaterThan(10)
    for (const p of edge) {
      expect(Math.abs(p[0] - edgeAt(known, p[1])[0])).toBeLessThan(0.15)
      expect(Math.abs(p[2] - edgeAt(known, p[1])[2])).toBeLessThan(0.15)
    }
  })

  test('one end alone: the other stays where it was found', () => {
    const found = crownFromMesh(mesh, '11', own)
    const mark = edgeAt(known, 1)
    const { edge } = crownFromMesh(mesh, '11', own, { edgeMesial: transformPoint(own, mark) })
    expect(distance(edge[0], mark)).toBeLessThan(1e-9)
    expect(Math.abs(edge[edge.length - 1][1] - found.edge[found.edge.length - 1][1])).toBeLessThan(0.5)
  })

  test('contacts and zenith are taken as they are', () => {
    const marks = { mesialContact: [0, 4, -8], distalContact: [0.5, -4, -6], zenith: [3, -1, 0.2] } as const
    const through = (p: Vec3) => transformPoint(own, p)
    const { landmarks } = crownFromMesh(mesh, '11', own, {
      mesialContact: through(marks.mesialContact),
      distalContact: through(marks.distalContact),
      zenith: through(marks.zenith),
    })
    for (const name of ['mesialContact', 'distalContact', 'zenith'] as const)
      expect(distance(landmarks[name], marks[name]), name).toBeLessThan(1e-9)
  })

  test('the groove of a molar runs between its marks', () => {
    const molar = tabulatedCrown('36')
    const [a, b] = [molar.edge[2], molar.edge[molar.edge.length - 3]]
    const { edge } = crownFromMesh(molar.mesh, '36', undefined, { edgeMesial: a, edgeDistal: b })
    expect(distance(edge[0], a)).toBeLessThan(1e-9)
    expect(distance(edge[edge.length - 1], b)).toBeLessThan(1e-9)
  })
})

describe('a shell that is open at the neck', () => {
  test.each(['11', '23', '14', '36'])(
    '%s is closed by a fan, says so, and answers like the closed crown',
    (tooth) => {
      const known = tabulatedCrown(tooth)
      const closed = crownFromMesh(known.mesh, tooth)
      const shell = crownFromMesh(withoutBase(known), tooth)
      expect(closed.baseCapped).toBeUndefined()
      expect(shell.baseCapped).toBe(true)
      expect(enclosedVolume(shell.mesh)).toBeGreaterThan(0)
      expect(shell.regions).toHaveLength(shell.mesh.triangles.length / 3)
      const [a, b] = [exitOf(closed), exitOf(shell)]
      expect(b.class).toBe(a.class)
      expect(b.exitDistanceMm).toBeCloseTo(a.exitDistanceMm ?? Number.NaN, 9)
      expect(b.offsetMm).toBeCloseTo(a.offsetMm ?? Number.NaN, 1)
    },
  )

  test('a hole elsewhere is refused: where it is, how wide, and what to do', () => {
    const { mesh, regions } = tabulatedCrown('11')
    const onFace = regions.indexOf('edge')
    expect(() =>
      crownFromMesh(
        without(mesh, (t) => t === onFace),
        '11',
      ),
    ).toThrow(
      /tooth 11 is open: a hole of 3 edges \d\.\d mm from its incisal or occlusal end.*close it and export it again/,
    )
  })
})

describe('the same mesh turned and moved', () => {
  test.each(['11', '24', '36'])('%s gives the same answers in the same frame to 1e-6', (tooth) => {
    const { mesh } = tabulatedCrown(tooth)
    const straight = exitOf(crownFromMesh(mesh, tooth))
    const random = createRandom(`turned ${tooth}`)
    for (let n = 0; n < 5; n++) {
      const [a, b] = [3 * random.uniform(), 3 * random.uniform()]
      const turn = fromFrame(
        [Math.cos(a), Math.sin(a), 0],
        [-Math.sin(a) * Math.cos(b), Math.cos(a) * Math.cos(b), Math.sin(b)],
        [Math.sin(a) * Math.sin(b), -Math.cos(a) * Math.sin(b), Math.cos(b)],
        [50 * random.normal(), 50 * random.normal(), 50 * random.normal()],
      )
      const moved = exitOf(crownFromMesh(movedMesh(mesh, turn), tooth, turn), turn)
      expect(moved.class).toBe(straight.class)
      expect(moved.offsetMm).toBeCloseTo(straight.offsetMm ?? Number.NaN, 6)
      expect(moved.exitDistanceMm).toBeCloseTo(straight.exitDistanceMm ?? Number.NaN, 6)
      expect(moved.exitHeightMm).toBeCloseTo(straight.exitHeightMm ?? Number.NaN, 6)
      const local = transformPoint(invert(turn), moved.point ?? [Number.NaN, 0, 0])
      expect(distance(local, straight.point ?? [Number.NaN, 0, 0])).toBeLessThan(1e-6)
    }
  })
})

test('frames and marks that make no sense: finite numbers or a refusal in words', () => {
  const random = createRandom('senseless frames')
  const meshes = ['11', '13', '36'].map((tooth) => ({ tooth, mesh: tabulatedCrown(tooth).mesh }))
  let answered = 0
  for (let n = 0; n < 150; n++) {
    const { tooth, mesh } = meshes[n % meshes.length]
    const some = (by: number): Vec3 => [by * random.normal(), by * random.normal(), by * random.normal()]
    const [a, b] = [6.3 * random.uniform(), 3.2 * random.uniform()]
    const frame = fromFrame(
      [Math.cos(a), Math.sin(a), 0],
      [-Math.sin(a) * Math.cos(b), Math.cos(a) * Math.cos(b), Math.sin(b)],
      [Math.sin(a) * Math.sin(b), -Math.cos(a) * Math.sin(b), Math.cos(b)],
      some(n % 2 === 0 ? 3 : 1000),
    )
    const by = 10 ** (4 * random.uniform() - 1)
    const marks = {
      ...(random.uniform() < 0.5 ? { edgeMesial: some(by) } : {}),
      ...(random.uniform() < 0.5 ? { edgeDistal: some(by) } : {}),
      ...(random.uniform() < 0.5 ? { mesialContact: some(by) } : {}),
      ...(random.uniform() < 0.3 ? { zenith: some(by) } : {}),
    }
    try {
      const crown = crownFromMesh(
        mesh,
        tooth,
        frame,
        n % 7 === 0 ? { edgeMesial: some(1), edgeDistal: [0, 0, 0] } : marks,
      )
      const numbers = JSON.stringify([
        crown.edge,
        crown.occlusalTable,
        crown.cejCurve,
        crown.landmarks,
        exitOf(crown),
      ])
      // JSON writes NaN and Infinity as null inside lists.
      expect(crown.edge.flat().every(Number.isFinite)).toBe(true)
      expect(crown.cejCurve.flat().every(Number.isFinite)).toBe(true)
      expect(Object.values(crown.landmarks).flat().every(Number.isFinite)).toBe(true)
      expect((crown.occlusalTable ?? []).flat().every(Number.isFinite)).toBe(true)
      expect(numbers).not.toContain('NaN')
      answered++
    } catch (error) {
      if (!(error instanceof RangeError)) throw error
      expect(error.message).toContain(`tooth ${tooth}`)
    }
  }
  expect(answered).toBeGreaterThan(100)
})
