"""Looks the distance field of a site up at the side points of every pose of a tilt chart, by SciPy, and takes the least.

tilt-chart.py FIELD FIELD.json: FIELD is the raw float32 field, x fastest; the header holds
  originMm, stepMm, shape       of the field's grid
  frames                        of each pose: origin, x, y, z, twelve numbers, LPS mm
  depthsMm, anglesDeg, radiiMm  of the side points; a radius for each depth
Prints the median time of a whole chart, ms, and the sum of the least distances, mm.
"""

import json
import sys
import time

import numpy as np
from scipy.ndimage import map_coordinates

REPEATS = 3

header = json.load(open(sys.argv[2]))
nx, ny, nz = header["shape"]
field = np.fromfile(sys.argv[1], dtype="<f4").reshape(nz, ny, nx)
origin, step = np.array(header["originMm"]), header["stepMm"]
frames = np.array(header["frames"]).reshape(-1, 4, 3)
depths = np.array(header["depthsMm"])[:, None, None]
angles = np.radians(np.array(header["anglesDeg"]))[None, :, None]
radii = np.array(header["radiiMm"])[:, None, None]


def least(frame):
    o, x, y, z = frame
    points = o + depths * z + radii * (np.cos(angles) * x + np.sin(angles) * y)
    places = ((points - origin) / step).reshape(-1, 3).T[::-1]
    return float(map_coordinates(field, places, order=1, mode="nearest").min())


times = []
for _ in range(REPEATS):
    start = time.perf_counter()
    found = [least(frame) for frame in frames]
    times.append(time.perf_counter() - start)
print(json.dumps({"median": float(np.median(times) * 1000), "checksum": float(sum(found))}))
