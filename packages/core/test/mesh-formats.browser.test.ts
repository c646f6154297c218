import { expect, test } from 'vitest'
import { importMesh } from '../src/index.js'
import { cube } from './mesh-solids.js'
import { WRITERS } from './mesh-writers.js'

test.each(WRITERS)('importMesh reads %s in a browser', (_, write) => {
  const { facts, notes } = importMesh(write(cube(10)), 'cube')
  expect(notes).toEqual([])
  expect(facts).toMatchObject({
    vertices: 8,
    triangles: 12,
    closed: true,
    volumeMm3: expect.closeTo(1000, 9),
  })
})
