"""Shortest distances from points to triangles by brute force: every point against every triangle, no code of ours.

In the folder of the first argument, float64: points (x y z each), corners (three points a triangle).
Out: distances (to the plane where its foot lies inside the triangle, else to the nearest edge).
"""

import sys

import numpy as np


def to_edges(p, a, b):
    way = b - a
    size = np.maximum((way * way).sum(1), 1e-300)
    share = np.clip(((p - a) * way).sum(1) / size, 0, 1)
    return np.linalg.norm(a + share[:, None] * way - p, axis=1)


def distance(p, a, b, c, normals):
    least = np.minimum(np.minimum(to_edges(p, a, b), to_edges(p, b, c)), to_edges(p, c, a))
    inside = np.ones(len(a), bool)
    for start, end in ((a, b), (b, c), (c, a)):
        inside &= (np.cross(end - start, p - start) * normals).sum(1) >= 0
    height = np.abs(((p - a) * normals).sum(1))
    return np.where(inside, height, least).min()


folder = sys.argv[1]
points = np.fromfile(folder + "/points").reshape(-1, 3)
corners = np.fromfile(folder + "/corners").reshape(-1, 3, 3)
a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
normals = np.cross(b - a, c - a)
normals /= np.linalg.norm(normals, axis=1, keepdims=True)
np.array([distance(p, a, b, c, normals) for p in points]).tofile(folder + "/distances")
