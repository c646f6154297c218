import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { importMesh, surfaceArea } from '@alveometer/core'
import { expect, test } from 'vitest'
import { describeWithPython } from '../outside-python.js'
import { describeWithData } from '../shared-data.js'

const TEETH = [1, 2, 3, 4].flatMap((quadrant) => [1, 2, 3, 4, 5, 6, 7].map((place) => `${quadrant}${place}`))
const fileOf = (tooth: string) => `crown-fdi-${tooth}.obj`

/** The rows of the table of facts beside the data, worked out with NumPy, by file: its cells as they are printed. */
function factsTable(folder: string): Map<string, string[]> {
  const rows = readFileSync(join(folder, 'SOURCE.md'), 'utf8')
    .split('\n')
    .map((line) => line.split('|').map((cell) => cell.trim()))
    .filter((cells) => cells[1]?.endsWith('.obj') && cells.length > 8)
  return new Map(rows.map((cells) => [cells[1] ?? '', cells.slice(2, -1)]))
}

/** "(-8.301, 3.81)" as numbers. */
const numbers = (text: string): number[] => Array.from(text.matchAll(/-?[\d.]+/g), ([word]) => Number(word))
/** As printed with three decimals, trailing zeros left out. */
const rounded = (value: number): number => Number(value.toFixed(3))

describeWithData('28 scanned crowns', 'tooth-crowns-obj', (folder) => {
  const table = factsTable(folder)
  const open = (tooth: string) => importMesh(readFileSync(join(folder, fileOf(tooth))), fileOf(tooth))

  test('the table has all of them', () => expect([...table.keys()]).toEqual(TEETH.map(fileOf)))

  for (const tooth of TEETH)
    test(`${tooth}: vertices, triangles, box, volume, area and edges are those of the table, and nothing is repaired`, () => {
      const [vertices, triangles, box, volume, area, openEdges, manyFaceEdges] =
        table.get(fileOf(tooth)) ?? []
      const { facts, notes, unitProposals } = open(tooth)
      expect(facts).toMatchObject({
        vertices: Number(vertices),
        triangles: Number(triangles),
        openEdges: Number(openEdges),
        manyFaceEdges: Number(manyFaceEdges),
        closed: true,
        shells: 1,
      })
      expect([...facts.box.low, ...facts.box.high].map(rounded)).toEqual(numbers(box ?? ''))
      expect(facts.volumeMm3?.toFixed(3)).toBe(volume)
      expect(facts.areaMm2.toFixed(3)).toBe(area)
      expect([notes, unitProposals]).toEqual([[], []])
    })

  // vtkMassProperties needs consistent winding, vtkFeatureEdges counts what is open or has more than two faces.
  describeWithPython('and VTK finds the same', ['vtk'], (run) => {
    const script = `
import json, sys, vtk
answers = {}
for path in sys.argv[1:]:
    reader = vtk.vtkOBJReader(); reader.SetFileName(path)
    clean = vtk.vtkCleanPolyData(); clean.SetInputConnection(reader.GetOutputPort()); clean.SetTolerance(0)
    mass = vtk.vtkMassProperties(); mass.SetInputConnection(clean.GetOutputPort()); mass.Update()
    def edges(kind):
        feature = vtk.vtkFeatureEdges(); feature.SetInputConnection(clean.GetOutputPort())
        feature.FeatureEdgesOff(); feature.ManifoldEdgesOff()
        feature.SetBoundaryEdges(kind == 'open'); feature.SetNonManifoldEdges(kind == 'many')
        feature.Update()
        return feature.GetOutput().GetNumberOfCells()
    parts = vtk.vtkPolyDataConnectivityFilter(); parts.SetInputConnection(clean.GetOutputPort())
    parts.SetExtractionModeToAllRegions(); parts.Update()
    answers[path] = dict(volume=mass.GetVolume(), area=mass.GetSurfaceArea(), open=edges('open'), many=edges('many'),
                         parts=parts.GetNumberOfExtractedRegions())
print(json.dumps(answers))
`
    interface Answer {
      readonly volume: number
      readonly area: number
      readonly open: number
      readonly many: number
      readonly parts: number
    }
    test('volume, area, open edges, edges of many faces and parts', () => {
      const paths = TEETH.map((tooth) => join(folder, fileOf(tooth)))
      const answers: Record<string, Answer> = JSON.parse(run(script, paths))
      for (const tooth of TEETH) {
        const answer = answers[join(folder, fileOf(tooth))]
        const { facts, mesh } = open(tooth)
        // VTK reads coordinates as 32-bit floats: 1e-6 of 30 mm over some 300 mm2 of surface.
        expect(Math.abs((facts.volumeMm3 ?? 0) - (answer?.volume ?? Number.NaN))).toBeLessThan(2e-3)
        expect(Math.abs(surfaceArea(mesh) - (answer?.area ?? Number.NaN))).toBeLessThan(2e-3)
        expect([facts.openEdges, facts.manyFaceEdges, facts.shells]).toEqual([
          answer?.open,
          answer?.many,
          answer?.parts,
        ])
      }
    })
  })
})
