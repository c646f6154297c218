"""Thickness of a cortical shell as the greatest ball between its faces, by a distance transform; no code of ours.

In the folder of the first argument: voxels (int16, x fastest), float64: matrix (4 x 4 index to mm, column by column),
hits (x y z mm on the outer face), settings (shape x y z; greys of soft tissue, cortex and marrow; mm of smoothing).
Out: thickness (mm, one a hit): twice the greatest distance to the outside of the shell on the way in along the normal.
"""

import sys

import numpy as np
from scipy.ndimage import distance_transform_edt, gaussian_filter, label, map_coordinates

STEP_MM = 0.2 / 3
MARGIN_MM = 1.5
DEEPEST_MM = 2.2

folder = sys.argv[1]
settings = np.fromfile(folder + "/settings")
shape = settings[:3].astype(int)
soft, cortex, marrow, smoothing = settings[3:]
voxels = np.fromfile(folder + "/voxels", np.int16).reshape(shape[::-1]).transpose().astype(np.float64)
matrix = np.fromfile(folder + "/matrix").reshape(4, 4).T
hits = np.fromfile(folder + "/hits").reshape(-1, 3)
# The phantom's voxels are cubes along the axes.
spacing = matrix[0, 0]
at = (hits - matrix[:3, 3]) / spacing
smooth = gaussian_filter(voxels, smoothing / spacing) if smoothing > 0 else voxels

# A finer grid round the hits, by cubic splines.
low = np.maximum(0, at.min(0) - MARGIN_MM / spacing)
high = np.minimum(shape - 1, at.max(0) + MARGIN_MM / spacing)
fine = STEP_MM / spacing
axes = [np.arange(a, b, fine) for a, b in zip(low, high)]
grey = map_coordinates(smooth, np.meshgrid(*axes, indexing="ij"), order=3)


def touching(mask, corner):
    names, _ = label(mask)
    return names == names[corner]


# Faces lie midway between the levels on either side: the outside hangs together with the corner of the box, marrow
# with the middle of the hits.
outside = touching(grey < (soft + cortex) / 2, (0, 0, 0))
middle = tuple(((at.mean(0) - low) / fine).round().astype(int))
inside = touching((grey < (cortex + marrow) / 2) & ~outside, middle)
# To the middles of voxels beyond the face: of the many near the place where a ball touches it, one lies close behind it.
distance = distance_transform_edt(~(outside | inside)) * STEP_MM

blurred = gaussian_filter(voxels, 0.3 / spacing)
slope = np.stack([map_coordinates(g, at.T, order=1) for g in np.gradient(blurred)], axis=1)
inwards = slope / np.linalg.norm(slope, axis=1, keepdims=True)
depths = np.arange(0, DEEPEST_MM, STEP_MM / 2)
line = (at[:, None] + depths[None, :, None] * inwards[:, None] / spacing - low) / fine
(2 * map_coordinates(distance, line.transpose(2, 0, 1), order=1).max(1)).tofile(folder + "/thickness")
