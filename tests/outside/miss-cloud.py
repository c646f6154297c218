"""SciPy's own Monte Carlo of a fixture that misses its plan: argv[1] is JSON of scenes, printed are their shares.

Frame of the fixture as planned: x facial, y mesial, z apical, the platform's centre at the origin, mm. The tilt is SciPy's
rotation about a vector across the axis; the normals are NumPy's (PCG64 and the ziggurat).
"""

import json
import sys

import numpy as np
from scipy.spatial.transform import Rotation
from scipy.stats import norm

DRAWS = 100_000


def placements(rng, error):
    """Platforms and axes of the draws. The vector that carries an apex facially is along y, mesially along -x."""
    entry = rng.standard_normal((DRAWS, 3)) * error["entry"]
    own = rng.standard_normal((DRAWS, 2))
    rho = error["correlation"]
    sideways = np.where(np.array(error["entry"][:2]) > 0, entry[:, :2] / np.maximum(error["entry"][:2], 1e-300), 0)
    tilt = np.radians(error["tilt"]) * (rho * sideways + np.sqrt(1 - rho**2) * own)
    turns = Rotation.from_rotvec(np.column_stack([-tilt[:, 1], tilt[:, 0], np.zeros(DRAWS)]))
    return entry, turns


def rims(entry, turns, radius, length, around):
    """Points of both end circles, one angle after another: (draws, 3) each."""
    for phi in np.linspace(0, 2 * np.pi, around, endpoint=False):
        for z in (0, length):
            yield entry + turns.apply([radius * np.cos(phi), radius * np.sin(phi), z])


def plane(entry, turns, scene):
    """Least distance to a plane x = at."""
    reach = np.full(DRAWS, -np.inf)
    for point in rims(entry, turns, scene["radius"], scene["length"], 120):
        reach = np.maximum(reach, point[:, 0])
    return scene["at"] - reach


def round_bone(entry, turns, scene):
    """Least distance to a cylinder about the axis as planned."""
    reach = np.zeros(DRAWS)
    for point in rims(entry, turns, scene["radius"], scene["length"], 120):
        reach = np.maximum(reach, np.hypot(point[:, 0], point[:, 1]))
    return scene["at"] - reach


def exit_inside(entry, turns, scene):
    """How far behind the band the axis meets the plane z = -height."""
    axis = turns.apply([0, 0, 1])
    x = entry[:, 0] + scene["x"] - (entry[:, 2] + scene["height"]) * axis[:, 0] / axis[:, 2]
    return scene["at"] - x


KINDS = {"plane": plane, "round": round_bone, "exit": exit_inside}


def main():
    rng = np.random.default_rng(20211)
    answers = []
    for scene in json.loads(sys.argv[1]):
        entry, turns = placements(rng, scene["error"])
        margin = KINDS[scene["kind"]](entry, turns, scene)
        margin = margin + scene["surface"] * rng.standard_normal(DRAWS)
        apex = np.linalg.norm(entry + turns.apply([0, 0, scene["length"]]) - [0, 0, scene["length"]], axis=1)
        answers.append(
            {
                "share": float(np.mean(margin >= scene["limit"])),
                "percentiles": [float(p) for p in np.percentile(margin, [5, 25, 50, 75, 95])],
                "apexMeanMm": float(apex.mean()),
                "apex": [float(p) for p in np.percentile(apex, [5, 25, 50, 75, 95])],
            }
        )
    quantiles = norm.ppf(json.loads(sys.argv[2])).tolist()
    print(json.dumps({"draws": DRAWS, "scenes": answers, "quantiles": quantiles}))


main()
