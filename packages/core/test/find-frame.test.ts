import { createRandom, type Random } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import { findCrownFrame, tabulatedCrown } from '../src/crown/index.js'
import {
  angleDeg,
  column,
  cross,
  distance,
  enclosedVolume,
  fromFrame,
  invert,
  type Mat4,
  type Mesh,
  mirroredMesh,
  multiply,
  normalize,
  perpendicularTo,
  scaledMesh,
  type Vec3,
} from '../src/space/index.js'
import { movedMesh, withoutBase } from './crown-shells.js'

function anyTurn(random: Random): Mat4 {
  const some = (): Vec3 => [random.normal(), random.normal(), random.normal()]
  const z = normalize(some())
  const x = perpendicularTo(some(), z)
  return fromFrame(x, cross(z, x), z, [60 * random.normal(), 60 * random.normal(), 60 * random.normal()])
}

/** What is left between a found frame and the crown's own: the greatest angle of an axis, and the origin's distance. */
function off(found: Mat4, turn: Mat4): { deg: number; mm: number } {
  const left = multiply(invert(turn), found)
  const axes = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ] as const
  const deg = Math.max(...axes.map((axis, c) => angleDeg(column(left, c as 0 | 1 | 2), axis)))
  return { deg, mm: distance(column(left, 3), [0, 0, 0]) }
}

describe('findCrownFrame on crowns of the table, turned and moved at random', () => {
  const random = createRandom('found frames')

  test.each(['11', '12', '23', '24', '31', '43', '45', '16', '36', '47'])('%s', (tooth) => {
    const turn = anyTurn(random)
    const { frame, sure } = findCrownFrame(movedMesh(tabulatedCrown(tooth).mesh, turn), tooth)
    const { deg, mm } = off(frame, turn)
    expect(deg).toBeLessThan(5)
    expect(mm).toBeLessThan(0.6)
    expect(sure).toBe(true)
  })

  test.each(['11', '14', '36'])('%s as a shell that is open at the neck', (tooth) => {
    const turn = anyTurn(random)
    const { frame, sure } = findCrownFrame(movedMesh(withoutBase(tabulatedCrown(tooth)), turn), tooth)
    expect(off(frame, turn).deg).toBeLessThan(5)
    expect(sure).toBe(true)
  })

  test('turns and moves only: no frame has a mirror or scale', () => {
    const { frame, alternatives } = findCrownFrame(tabulatedCrown('21').mesh, '21')
    for (const m of [frame, ...alternatives.map((it) => it.frame)]) {
      const [x, y, z] = [column(m, 0), column(m, 1), column(m, 2)]
      expect(distance(cross(x, y), z)).toBeLessThan(1e-9)
      expect(angleDeg(x, y)).toBeCloseTo(90, 9)
    }
  })

  test('another unit makes no difference to the axes, and the distance goes with it', () => {
    const { mesh } = tabulatedCrown('13')
    const mm = findCrownFrame(mesh, '13')
    const inches = findCrownFrame(scaledMesh(mesh, 1 / 25.4), '13')
    expect(off(inches.frame, mm.frame).deg).toBeLessThan(0.1)
    expect(inches.residualMm * 25.4).toBeCloseTo(mm.residualMm, 3)
  })

  test('the antimere mirrored is the crown itself', () => {
    const mirrored = mirroredMesh(tabulatedCrown('21').mesh)
    const { frame } = findCrownFrame(mirrored, '11')
    // The mirror turns x over: the crown stands the other way round in its own coordinates.
    const own = fromFrame([-1, 0, 0], [0, -1, 0], [0, 0, 1], [0, 0, 0])
    expect(off(frame, own).deg).toBeLessThan(5)
    expect(enclosedVolume(mirrored)).toBeCloseTo(enclosedVolume(tabulatedCrown('11').mesh), 6)
  })
})

test('a ball is no crown: the finder is not sure of it', () => {
  const positions: number[] = []
  const triangles: number[] = []
  const rows = 24
  for (let i = 0; i <= rows; i++)
    for (let k = 0; k < rows; k++) {
      const [polar, around] = [(Math.PI * i) / rows, (2 * Math.PI * k) / rows]
      positions.push(
        4 * Math.sin(polar) * Math.cos(around),
        4 * Math.sin(polar) * Math.sin(around),
        4 * Math.cos(polar),
      )
      const [a, b] = [i * rows + k, i * rows + ((k + 1) % rows)]
      if (i < rows) triangles.push(a, a + rows, b, b, a + rows, b + rows)
    }
  const ball = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
  expect(findCrownFrame(ball, '11').sure).toBe(false)
})

test('refuses what has no surface', () => {
  const empty: Mesh = { positions: new Float64Array(), triangles: new Uint32Array() }
  const point: Mesh = {
    positions: new Float64Array(36),
    triangles: new Uint32Array(36).map((_, i) => i % 12),
  }
  const { mesh } = tabulatedCrown('11')
  const broken = { ...mesh, positions: mesh.positions.map((v, i) => (i === 5 ? Number.NaN : v)) }
  expect(() => findCrownFrame(empty, '11')).toThrow('empty')
  expect(() => findCrownFrame(point, '11')).toThrow(RangeError)
  expect(() => findCrownFrame(broken, '11')).toThrow('broken')
  expect(() => findCrownFrame(mesh, '19')).toThrow('"19"')
})
