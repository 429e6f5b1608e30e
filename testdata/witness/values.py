#!/usr/bin/env python3
"""Numbers by another hand, in SciPy: what tests of sampling, of uncertainty and of
scores compare with. Writes values.json. Run it with
    python3 values.py > values.json     (SciPy 1.10, NumPy 1.24 were used)
"""
import json
import numpy as np
from scipy import optimize, stats
from scipy.stats import qmc

out = {}

# Sobol points without scrambling, direction numbers of Joe and Kuo (2008).
out["sobol"] = qmc.Sobol(16, scramble=False).random(64).tolist()

# Quantiles that intervals are made of: Student's t and the normal distribution.
out["student"] = [[dof, p, float(stats.t.ppf((1 + p) / 2, dof))] for dof in (1, 2, 5, 16, 60) for p in (0.68, 0.95, 0.99)]
out["normal"] = [[p, float(stats.norm.ppf(p))] for p in (0.002, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999)]

# A normal distribution between bounds: mean, variance, and the 5, 50 and 95 % points.
out["truncated"] = []
for mu, sigma, lo, hi in ((1, 2, 0, 3), (0.1, 0.15, 0, 1.5), (6.5, 1, 6, 9)):
    t = stats.truncnorm((lo - mu) / sigma, (hi - mu) / sigma, mu, sigma)
    out["truncated"].append([mu, sigma, lo, hi, float(t.mean()), float(t.var())] + t.ppf([0.05, 0.5, 0.95]).tolist())

# Counts out of tries.
out["binomial"] = [[n, k, p, float(stats.binom.pmf(k, n, p))] for n, k, p in ((10, 3, 0.2), (10, 0, 0.005), (1, 1, 0.7), (99, 40, 0.5), (20, 20, 0.98))]

# Logistic regression with a weak quadratic penalty on standardised numbers.
x = np.array([1.1, 0.3, 2.2, 3.1, 2.9, 0.7, 4.4, 1.9, 3.3, 2.4, 0.2, 3.9])
y = np.array([0, 0, 1, 1, 0, 0, 1, 1, 1, 0, 0, 1])
out["logistic"] = []
for hold in (0.01, 1.0):
    z = (x - x.mean()) / x.std()

    def loss(u):
        s = np.where(y == 1, 1, -1) * (u[0] + u[1] * z)
        return np.log1p(np.exp(-s)).sum() + hold / 2 * (u[0] ** 2 + u[1] ** 2)

    u = optimize.minimize(loss, [0, 0], tol=1e-14, method="Nelder-Mead", options={"xatol": 1e-12, "fatol": 1e-15, "maxiter": 10000}).x
    out["logistic"].append({"x": x.tolist(), "y": y.tolist(), "penalty": hold, "chance": (1 / (1 + np.exp(-(u[0] + u[1] * z)))).tolist()})

# Scores of some predictions: mean log loss and mean square.
p = np.array([0.9, 0.2, 0.6, 0.4, 0.03, 0.99])
h = np.array([1, 0, 0, 1, 0, 1])
out["scores"] = {"p": p.tolist(), "happened": h.tolist(), "log_loss": float(-np.mean(np.log(np.where(h == 1, p, 1 - p)))), "brier": float(np.mean((p - h) ** 2))}

# Weighted quantiles by the inverted distribution function, and an effective size.
w, v = np.array([0.1, 0.25, 0.05, 0.4, 0.2]), np.array([3.0, -1.0, 8.0, 2.0, 5.0])
order = np.argsort(v)
cum = np.cumsum(w[order])
out["weighted"] = {"weight": w.tolist(), "value": v.tolist(), "at": [0.05, 0.3, 0.66, 0.97],
                   "quantile": [float(v[order][np.searchsorted(cum, q)]) for q in (0.05, 0.3, 0.66, 0.97)],
                   "size": float(w.sum() ** 2 / (w ** 2).sum())}

json.dump(out, __import__("sys").stdout, indent=None, separators=(",", ":"))
