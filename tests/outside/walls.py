"""Thickness of a plate of one material in air along lines, by half-maximum; no code of ours.

In the folder of the first argument: voxels (int16, x fastest), float64: settings (shape x y z, then how far a line is
followed, mm), lines (one a row: index of its start outside, index step of one mm inwards).
Out: thickness (mm, one a line; NaN where no plate stands alone in air).
"""

import sys

import numpy as np
from scipy.ndimage import map_coordinates, spline_filter

STEP_MM = 0.02
AIR_MM = 1.0

folder = sys.argv[1]
settings = np.fromfile(folder + "/settings")
shape = settings[:3].astype(int)
depths = np.arange(0, settings[3], STEP_MM)
voxels = np.fromfile(folder + "/voxels", np.int16).reshape(shape[::-1]).transpose().astype(np.float64)
splines = spline_filter(voxels, order=3)
lines = np.fromfile(folder + "/lines").reshape(-1, 2, 3)


def crossing(grey, level, near, step):
    """Where the grey meets the level next to a sample, going outwards."""
    n = near
    while grey[n] > level:
        n += step
    return depths[n] + (level - grey[n]) / (grey[n - step] - grey[n]) * (depths[n - step] - depths[n])


def thickness(grey):
    air = np.median(grey[: round(AIR_MM / STEP_MM)])
    rough = (air + grey.max()) / 2
    above = grey > rough
    first = above.argmax()
    last = first + (~above[first:]).argmax() - 1
    # Air for a millimetre behind it, too.
    behind = grey[last + 1 :][round(AIR_MM / STEP_MM) : round(2 * AIR_MM / STEP_MM)]
    if last <= first or len(behind) < AIR_MM / STEP_MM or behind.max() > air + 0.1 * (grey.max() - air):
        return np.nan
    third = (last - first) // 3
    level = (air + np.median(grey[first + third : last - third + 1])) / 2
    middle = (first + last) // 2
    return crossing(grey, level, middle, 1) - crossing(grey, level, middle, -1)


found = [
    thickness(
        map_coordinates(splines, (start + depths[:, None] * inwards).T, order=3, prefilter=False, mode="nearest")
    )
    for start, inwards in lines
]
np.array(found).tofile(folder + "/thickness")
