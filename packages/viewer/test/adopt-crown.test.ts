import { mirroredMesh, type Plan, placedCrown, scaledMesh, sizeOf, tabulatedCrown } from '@alveometer/core'
import { expect, test } from 'vitest'
import { adoptedCrown } from '../src/engine/adopt-crown.js'
import { CrownMeshes } from '../src/engine/crown-meshes.js'
import { uprightPlan } from './plan.js'

const own = tabulatedCrown('11').mesh
const of = { file: 'crown.stl', fingerprint: '0123456789abcdef' }
const onSite = { unitMm: 1, where: 'site', space: 'lps' } as const

test('a mesh of the tooth stands where the planned crown stood, and says which file it is', () => {
  const { crown } = adoptedCrown({ plan: uprightPlan, of, mesh: own, choice: { use: 'this', ...onSite } })
  expect(crown).toMatchObject({ kind: 'mesh', ...of })
  const { pose } = placedCrown({ ...uprightPlan, crown }, own)
  pose.forEach((v, n) => {
    expect(Math.abs(v - (placedCrown(uprightPlan, undefined).pose[n] as number))).toBeLessThan(0.2)
  })
})

test('a mesh of the other side, mirrored, is the crown of this side', () => {
  const { crown } = adoptedCrown({
    ...{ plan: uprightPlan, of, mesh: mirroredMesh(own) },
    choice: { use: 'mirror', ...onSite },
  })
  expect(crown).toMatchObject({ kind: 'mesh', tooth: '21' })
  const placed = placedCrown({ ...uprightPlan, crown }, mirroredMesh(own))
  expect(sizeOf(placed.crown).widthMdMm).toBeCloseTo(8.5, 1)
})

test('the size alone: a crown of the table where the planned one stands, as large as the mesh', () => {
  const { crown } = adoptedCrown({
    ...{ plan: uprightPlan, of, mesh: scaledMesh(own, 0.9 / 25.4) },
    choice: { use: 'size', ...onSite, unitMm: 25.4 },
  })
  if (crown.kind !== 'tabulated') throw new Error('not of the table')
  expect(crown.pose).toEqual(uprightPlan.crown.pose)
  // Nine tenths of the table: 10.5 long, 8.5 mesiodistally, 7 labiolingually.
  expect(Math.abs((crown.size?.lengthMm ?? 0) - 9.45)).toBeLessThan(0.15)
  expect(Math.abs((crown.size?.widthMdMm ?? 0) - 7.65)).toBeLessThan(0.15)
  expect(Math.abs((crown.size?.widthLlMm ?? 0) - 6.3)).toBeLessThan(0.15)
})

test('the size of something that is no tooth is refused', () => {
  const choice = { use: 'size', ...onSite } as const
  expect(() => adoptedCrown({ plan: uprightPlan, of, mesh: scaledMesh(own, 4), choice })).toThrow(RangeError)
})

test('of two files of one name a plan has the one it means; without saying it has the last', () => {
  const meshes = new CrownMeshes()
  const other = mirroredMesh(own)
  meshes.keep({ file: 'crown.stl', fingerprint: 'a' }, own)
  meshes.keep({ file: 'crown.stl', fingerprint: 'b' }, other)
  const plan = (fingerprint?: string): Plan => ({
    ...uprightPlan,
    crown: {
      kind: 'mesh',
      file: 'crown.stl',
      pose: [],
      ...(fingerprint === undefined ? {} : { fingerprint }),
    },
  })
  expect(meshes.of(plan('a'))).toBe(own)
  expect(meshes.of(plan('b'))).toBe(other)
  expect(meshes.of(plan('c'))).toBeUndefined()
  expect(meshes.of(plan())).toBe(other)
  expect(meshes.of(uprightPlan)).toBeUndefined()
})
