"""Least wall round straight channels by brute force: every triangle strewn with points, those that face away from
the channel counted; lines followed by VTK.

In the folder of the first argument, float64: sizes (vertices, triangles, channels of each mesh), positions (x y z),
triangles (three vertex numbers), faces (0 facial, 1 oral, 2 mesial, 3 distal, 4 edge, 5 base; one a triangle),
channels (platform x y z, direction x y z, diameter).
Out: inner and outer (for each channel and face the least rho - r, NaN where no point of the face counts): of points
whose height counts, and of those up to SLACK beyond these heights as well. The true least lies between them, but for
SLACK: no place of the surface is further than that from a point.
"""

import sys

import numpy as np
import vtk

PARTS = 12
SLACK = 0.05
folder = sys.argv[1]
sizes = np.fromfile(folder + "/sizes").reshape(-1, 3).astype(int)
positions = np.fromfile(folder + "/positions").reshape(-1, 3)
triangles = np.fromfile(folder + "/triangles").reshape(-1, 3).astype(int)
faces = np.fromfile(folder + "/faces").astype(int)
channels = np.fromfile(folder + "/channels").reshape(-1, 7)

shares = np.array(
    [(i, j, PARTS - i - j) for i in range(PARTS + 1) for j in range(PARTS + 1 - i)], float
) / PARTS


def locator_of(points, corners):
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
    locator = vtk.vtkCellLocator()
    locator.SetDataSet(data)
    locator.BuildLocator()
    return locator


def first(locator, start, end):
    t, sub, cell = vtk.reference(0.0), vtk.reference(0), vtk.reference(0)
    x, local = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
    if not locator.IntersectWithLine(start, end, 1e-9, t, x, local, sub, cell):
        return None
    return np.array(x), int(cell)


def least_walls(points, corners, face, locator, origin, direction, diameter):
    u = np.array([1.0, 0, 0]) - direction[0] * direction
    u /= np.linalg.norm(u)
    v = np.cross(direction, u)
    r = diameter / 2
    entries, exits = [], []
    # The platform lies below the crown: every line comes in from outside.
    for k in range(-1, 72):
        angle = 2 * np.pi * k / 72
        start = origin if k < 0 else origin + r * (np.cos(angle) * u + np.sin(angle) * v)
        end = start + 60 * direction
        came, left = first(locator, start, end), first(locator, end, start)
        if came is None:
            continue
        entries.append(((came[0] - origin) @ direction))
        if k < 0:
            own = face[left[1]]
        elif face[left[1]] != 5:
            exits.append((left[0] - origin) @ direction)
    low, high = min(entries), max(exits)
    own_top = min(exits) - diameter
    spread = (shares @ points[corners].reshape(-1, 3, 3)).reshape(-1, 3)
    which = np.repeat(face, len(shares))
    relative = spread - origin
    height = relative @ direction
    aside = relative - height[:, None] * direction
    rho = np.linalg.norm(aside, axis=1)
    a, b, c = points[corners].transpose(1, 0, 2)
    normals = np.repeat(np.cross(b - a, c - a), len(shares), axis=0)
    away = (aside * normals).sum(1) > 0

    def least(slack):
        walls = []
        for side in range(5):
            top = own_top if side == own else high
            counts = away & (which == side) & (height >= low - slack) & (height <= top + slack) & (low <= top)
            walls.append(rho[counts].min() - r if counts.any() else np.nan)
        return walls

    return least(0), least(SLACK)


answers = []
vertex = triangle = channel = 0
for vertices, count, many in sizes:
    points = positions[vertex : vertex + vertices]
    corners = triangles[triangle : triangle + count]
    face = faces[triangle : triangle + count]
    locator = locator_of(points, corners)
    for c in channels[channel : channel + many]:
        answers.append(least_walls(points, corners, face, locator, c[:3], c[3:6], c[6]))
    vertex, triangle, channel = vertex + vertices, triangle + count, channel + many
np.array([inner for inner, _ in answers], float).tofile(folder + "/inner")
np.array([outer for _, outer in answers], float).tofile(folder + "/outer")
