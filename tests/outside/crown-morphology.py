"""Real scanned crowns against ours: argv 1 a folder with ours, argv 2 the real crowns' folder, argv 3 teeth by comma.

A real crown is put into the crown frame by axes alone (y of the file is occlusal in the lower and apical in the upper
arch; facial is the outward normal of the arch through the neighbours' middles), turned by a rigid fit to ours, and
scaled along each axis to our sizes. Answers: the mean of both one-way mean distances, and the two volumes.
"""
import sys
import numpy as np
from scipy.spatial import cKDTree

folder, real_folder, teeth = sys.argv[1], sys.argv[2], sys.argv[3].split(",")


def read(tooth):
    points, faces = [], []
    for line in open(f"{real_folder}/crown-fdi-{tooth}.obj"):
        parts = line.split()
        if parts and parts[0] == "v":
            points.append([float(v) for v in parts[1:4]])
        elif parts and parts[0] == "f":
            faces.append([int(v.split("/")[0]) - 1 for v in parts[1:4]])
    return np.array(points), np.array(faces)


def sample(points, faces, count, seed):
    random = np.random.default_rng(seed)
    across = np.cross(points[faces[:, 1]] - points[faces[:, 0]], points[faces[:, 2]] - points[faces[:, 0]])
    area = np.linalg.norm(across, axis=1)
    t = random.choice(len(faces), count, p=area / area.sum())
    u = random.random((count, 2))
    over = u.sum(1) > 1
    u[over] = 1 - u[over]
    a, b, c = (points[faces[t, i]] for i in range(3))
    return a + u[:, :1] * (b - a) + u[:, 1:] * (c - a)


def volume(points, faces):
    a, b, c = (points[faces[:, i]] for i in range(3))
    return np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6


def by_axes(tooth):
    upper = tooth[0] in "12"
    middles = {f"{q}{p}": read(f"{q}{p}")[0].mean(0) for q in ("12" if upper else "34") for p in range(1, 8)}
    order = sorted(middles, key=lambda t: middles[t][0])
    i = order.index(tooth)
    along = middles[order[min(13, i + 1)]] - middles[order[max(0, i - 1)]]
    along[1] = 0
    facial = np.cross(along / np.linalg.norm(along), [0, 1.0, 0])
    if facial @ (middles[tooth] - np.mean(list(middles.values()), axis=0)) < 0:
        facial = -facial
    apical = np.array([0, 1.0 if upper else -1.0, 0])
    points, faces = read(tooth)
    return (points - middles[tooth]) @ np.array([facial, np.cross(apical, facial), apical]).T, faces


def rotation(a, b):
    u, _, vt = np.linalg.svd((a - a.mean(0)).T @ (b - b.mean(0)))
    flip = np.sign(np.linalg.det(vt.T @ u.T))
    return vt.T @ np.diag([1, 1, flip]) @ u.T


def scaled(points, low, high):
    least, most = points.min(0), points.max(0)
    return (points - least) * ((high - low) / (most - least)) + low


def compare(tooth):
    points = np.fromfile(f"{folder}/positions{tooth}").reshape(-1, 3)
    faces = np.fromfile(f"{folder}/triangles{tooth}").astype(int).reshape(-1, 3)
    low, high = points.min(0), points.max(0)
    ours = sample(points, faces, 6000, 0)
    tree = cKDTree(ours)
    start, real = by_axes(tooth)
    found = None
    for lean in np.radians([-25, -12, 0, 12, 25]):
        c, s = np.cos(lean), np.sin(lean)
        turned = start @ np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]).T
        for i in range(40):
            part = sample(scaled(turned, low, high), real, 2500, i)
            far, near = tree.query(part)
            kept = far < np.quantile(far, 0.9)
            turn = rotation(part[kept], ours[near[kept]])
            turned = (turned - turned.mean(0)) @ turn.T
            if np.trace(turn) > 3 - 1e-5:
                break
        fitted = scaled(turned, low, high)
        part = sample(fitted, real, 6000, 1)
        mean = (tree.query(part)[0].mean() + cKDTree(part).query(ours)[0].mean()) / 2
        if found is None or mean < found[0]:
            found = mean, volume(points, faces), volume(fitted, real)
    return found


np.array([compare(tooth) for tooth in teeth]).tofile(f"{folder}/found")
