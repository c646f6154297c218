"""Fits blurred plates to profiles with scipy.optimize.least_squares; no code of ours.

In the folder of the first argument, float64: positions, greys and weights (one row a profile; weight 0 = left out),
noise (one a profile), priors (value and sd of outer, thickness, inner, outside, cortex, sigma; sd 0 = fixed, inf =
nothing known). Out: fits (the six parameters and the cost).
"""

import sys

import numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtr

STARTS_MM = [0.15, 0.4, 0.8, 1.3, 1.9, 2.6, 3.3]
LEAST = np.array([-np.inf, 0.02, -np.inf, -np.inf, -np.inf, 0.03])
MOST = np.array([np.inf, 3.5, np.inf, np.inf, np.inf, np.inf])
SCALES = np.array([0.1, 0.3, 200.0, 50.0, 200.0, 0.05])


def grey(p, x):
    outer, thickness, inside, outside, cortex, sigma = p
    rise = ndtr((x - outer + thickness) / sigma)
    fall = ndtr((x - outer) / sigma)
    return inside + (cortex - inside) * rise + (outside - cortex) * fall


def slopes(p, x):
    outer, thickness, inside, outside, cortex, sigma = p
    a = (x - outer + thickness) / sigma
    b = (x - outer) / sigma
    da = np.exp(-a * a / 2) / np.sqrt(2 * np.pi) * (cortex - inside) / sigma
    db = np.exp(-b * b / 2) / np.sqrt(2 * np.pi) * (outside - cortex) / sigma
    return np.stack([-da - db, da, 1 - ndtr(a), ndtr(b), ndtr(a) - ndtr(b), -da * a - db * b], axis=1)


def fit(x, y, weight, noise, value, sd):
    used = weight > 0
    x, y, scale = x[used], y[used], np.sqrt(weight[used]) / noise
    free = sd > 0
    known = free & np.isfinite(sd)
    whole = value.copy()

    def spread(q):
        p = whole.copy()
        p[free] = q
        return p

    def residuals(q):
        p = spread(q)
        return np.concatenate([scale * (grey(p, x) - y), ((p - value)[known] / sd[known])])

    prior_slopes = np.diag(1 / np.where(known, sd, 1))[known]

    def jacobian(q):
        j = np.concatenate([scale[:, None] * slopes(spread(q), x), prior_slopes])
        return j[:, free]

    best = None
    for start in STARTS_MM:
        p = value.copy()
        p[1] = start
        common = {"jac": jacobian, "x_scale": SCALES[free], "xtol": 1e-9, "ftol": 1e-10, "max_nfev": 300}
        # Quick and without bounds; with them where it leaves them or gets lost.
        found = least_squares(residuals, p[free], method="lm", **common)
        if not np.all((found.x >= LEAST[free]) & (found.x <= MOST[free])):
            bounds = (LEAST[free], MOST[free])
            found = least_squares(residuals, p[free], method="trf", bounds=bounds, **common)
        if best is None or found.cost < best.cost:
            best = found
    return np.append(spread(best.x), best.cost)


folder = sys.argv[1]
noise = np.fromfile(folder + "/noise")
count = len(noise)
positions, greys, weights = (
    np.fromfile(folder + "/" + name).reshape(count, -1) for name in ("positions", "greys", "weights")
)
priors = np.fromfile(folder + "/priors").reshape(count, 6, 2)
fits = [
    fit(positions[n], greys[n], weights[n], noise[n], priors[n, :, 0], priors[n, :, 1]) for n in range(count)
]
np.array(fits).tofile(folder + "/fits")
