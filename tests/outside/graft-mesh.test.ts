import {
  type DeficitGraft,
  type FixtureFrame,
  fixtureFrame,
  fixtureProfile,
  type GraftField,
  type Mesh,
} from '@alveometer/core'
import { expect, test } from 'vitest'
import { graftField, graftMeshes, graftMeshSteps, graftSize } from '../../packages/core/src/graft/index.js'
import { mapOf, marginOf, plate } from '../../packages/core/test/closed-map.js'
import { deficit, site } from '../../packages/core/test/graft-cases.js'
import { describeWithPython, runWithArrays } from '../outside-python.js'

const profile = fixtureProfile({ kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 9 })
/** Leaning, far from the origin. */
const frame = fixtureFrame({ platform: [31, -52, 17], apical: [0.2, -0.3, -0.9] }, [0.1, -1, 0.2])

const SCRIPT = `
import sys, numpy as np, vtk
from vtk.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
d = sys.argv[1]
points = np.fromfile(d + '/points').reshape(-1, 3)
triangles = np.fromfile(d + '/triangles').reshape(-1, 3).astype(np.int64)
poly = vtk.vtkPolyData()
p = vtk.vtkPoints(); p.SetData(numpy_to_vtk(points, deep=1)); poly.SetPoints(p)
cells = vtk.vtkCellArray()
cells.SetCells(len(triangles), numpy_to_vtkIdTypeArray(np.insert(triangles, 0, 3, axis=1).ravel(), deep=1))
poly.SetPolys(cells)
edges = vtk.vtkFeatureEdges(); edges.SetInputData(poly)
edges.BoundaryEdgesOn(); edges.NonManifoldEdgesOn(); edges.FeatureEdgesOff(); edges.ManifoldEdgesOff(); edges.Update()
mass = vtk.vtkMassProperties(); mass.SetInputData(poly); mass.Update()
# Signed, by the divergence theorem: positive when wound outward.
a, b, c = (points[triangles[:, k]] - points.mean(0) for k in range(3))
signed = np.einsum('ij,ij->i', a, np.cross(b, c)).sum() / 6
joined = vtk.vtkCleanPolyData(); joined.SetInputData(poly); joined.SetTolerance(0); joined.Update()
np.array([edges.GetOutput().GetNumberOfCells(), mass.GetVolume(), signed, len(points) - joined.GetOutput().GetNumberOfPoints(), len(np.unique(triangles)) - len(points)], dtype=float).tofile(d + '/facts')
`

describeWithPython('surfaces of a graft, read by VTK', ['vtk', 'numpy'], (run) => {
  const facts = ({ positions, triangles }: Mesh) => {
    const answer = runWithArrays(
      run,
      SCRIPT,
      { points: positions, triangles: Float64Array.from(triangles) },
      ['facts'],
    ).facts
    const [openEdges, volumeMm3, signedMm3, doubled, unused] = answer
    return { openEdges, volumeMm3, signedMm3, doubled, unused }
  }
  const fieldOf = (spec: DeficitGraft, at: FixtureFrame): GraftField => {
    // A leaning face with a hollow, so that the graft has a hole and a thin edge.
    const bone = (depth: number, angle: number) =>
      angle > 12 && angle < 24 && depth > 3 && depth < 5 ? 9 : plate((z) => 2.4 + 0.12 * z)(depth, angle)
    const margin = marginOf(mapOf(bone, profile), profile)
    const field = graftField({ margin, frame: at, profile, site, spec })
    if (field === null) throw new Error('nothing to graft')
    return field
  }

  for (const [name, spec] of [
    ['to the wanted thickness', deficit(2, { loss: { kind: 'share', share: 0.15 } })],
    ['overbuilt', deficit(1.5, { overbuilt: true, loss: { kind: 'mm', mm: 0.5 } })],
    ['natural', deficit(2, { natural: true, loss: { kind: 'mm', mm: 0.3 } })],
  ] as const)
    test(`${name}: closed, corners shared, wound outward; volume within 1 % of what is told`, () => {
      const field = fieldOf(spec, frame)
      const { built, kept } = graftMeshes(field, frame, 0.1)
      for (const [mesh, which] of [
        [built, 'outer'],
        [kept, 'kept'],
      ] as const) {
        const { openEdges, volumeMm3, signedMm3, doubled, unused } = facts(mesh)
        expect(openEdges).toBe(0)
        expect([doubled, unused]).toEqual([0, 0])
        expect(Math.abs(signedMm3 / volumeMm3 - 1)).toBeLessThan(1e-3)
        const told = graftSize(field, profile, which).volumeMm3
        expect(Math.abs(volumeMm3 / told - 1), `${which}: ${volumeMm3} for ${told}`).toBeLessThan(0.01)
      }
    })

  test('a sleeve all the way round has a hole through it; in coarse steps too it is closed', () => {
    const margin = marginOf(
      mapOf(() => 'axis-outside', profile),
      profile,
    )
    const field = graftField({ margin, frame, profile, site, spec: deficit(1.5) })
    if (field === null) throw new Error('nothing to graft')
    const { built } = graftMeshes(field, frame, 0.2)
    const { openEdges, volumeMm3 } = facts(built)
    expect(openEdges).toBe(0)
    // Euler characteristic 0: a ring.
    const triangles = built.triangles.length / 3
    expect(built.positions.length / 3 - triangles / 2).toBe(0)
    expect(Math.abs(volumeMm3 / graftSize(field, profile).volumeMm3 - 1)).toBeLessThan(0.01)
  })

  test('the same graft whichever way the fixture stands', () => {
    const upright = fixtureFrame({ platform: [0, 0, 0], apical: [0, 0, 1] }, [1, 0, 0])
    const spec = deficit(2)
    const [a, b] = [upright, frame].map((at) => graftMeshes(fieldOf(spec, at), at, 0.2).built)
    expect(b.triangles).toEqual(a.triangles)
    expect(facts(b).volumeMm3).toBeCloseTo(facts(a).volumeMm3, 6)
  })

  test('it can be stopped', () => {
    const field = fieldOf(deficit(2), frame)
    const steps = graftMeshSteps(field, frame, 0.2)
    expect(steps.next().done).toBe(false)
    const signal = { aborted: true, reason: new Error('newer') }
    expect(() => graftMeshes(field, frame, 0.2, { signal })).toThrow('newer')
    expect(() => graftMeshes(field, frame, 0)).toThrow(RangeError)
  })
})
