"""First and last crossing of lines with meshes, by VTK: vtkOBBTree (all crossings) and vtkCellLocator (from both ends).

In the folder of the first argument, float64: sizes (vertices, triangles, lines of each mesh), positions (x y z),
triangles (three vertex numbers), lines (from x y z, to x y z).
Out: tree (first x y z, last x y z of each line, NaN where it misses) and locator (the same).
"""

import sys

import numpy as np
import vtk

folder = sys.argv[1]
sizes = np.fromfile(folder + "/sizes").reshape(-1, 3).astype(int)
positions = np.fromfile(folder + "/positions").reshape(-1, 3)
triangles = np.fromfile(folder + "/triangles").reshape(-1, 3).astype(int)
lines = np.fromfile(folder + "/lines").reshape(-1, 6)


def surface(points, corners):
    data = vtk.vtkPolyData()
    vertices = vtk.vtkPoints()
    vertices.SetDataTypeToDouble()
    for p in points:
        vertices.InsertNextPoint(*p)
    cells = vtk.vtkCellArray()
    for three in corners:
        cells.InsertNextCell(3, [int(c) for c in three])
    data.SetPoints(vertices)
    data.SetPolys(cells)
    return data


def nearest(locator, start, end):
    t, sub, cell = vtk.reference(0.0), vtk.reference(0), vtk.reference(0)
    x, local = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
    hit = locator.IntersectWithLine(start, end, 1e-9, t, x, local, sub, cell)
    return x if hit else [np.nan] * 3


tree_answers, locator_answers = [], []
vertex = triangle = line = 0
for vertices, count, rays in sizes:
    data = surface(positions[vertex : vertex + vertices], triangles[triangle : triangle + count])
    tree = vtk.vtkOBBTree()
    tree.SetDataSet(data)
    tree.BuildLocator()
    locator = vtk.vtkCellLocator()
    locator.SetDataSet(data)
    locator.BuildLocator()
    for ends in lines[line : line + rays]:
        start, end = ends[:3].tolist(), ends[3:].tolist()
        points = vtk.vtkPoints()
        points.SetDataTypeToDouble()
        tree.IntersectWithLine(start, end, points, None)
        found = np.array([points.GetPoint(i) for i in range(points.GetNumberOfPoints())]).reshape(-1, 3)
        if len(found):
            far = ((found - ends[:3]) ** 2).sum(1)
            tree_answers.append([*found[far.argmin()], *found[far.argmax()]])
        else:
            tree_answers.append([np.nan] * 6)
        locator_answers.append([*nearest(locator, start, end), *nearest(locator, end, start)])
    vertex, triangle, line = vertex + vertices, triangle + count, line + rays

np.array(tree_answers, float).tofile(folder + "/tree")
np.array(locator_answers, float).tofile(folder + "/locator")
