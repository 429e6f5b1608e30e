#!/usr/bin/env python3
"""A short chain by another hand: rigid links with exact angles, in SciPy.

Twenty links lie one behind the other. The first eight have a tooth in them, which
lets their middles stand off the wheel's middle plane by no more than a half gap;
the last link's end is pulled by a dead force at an angle. Joints turn freely by the
slack, then against a stiffness. The unknowns are the links' angles and the first
pin's place, and nothing is linearised:

    y0, a[0..n-1];  y[i+1] = y[i] + p sin a[i],  x[i+1] = x[i] + p cos a[i]
    energy = sum k/2 max(|a[i]-a[i-1]| - slack, 0)^2 - T (x[n] cos t + y[n] sin t)
    |y[i] + p/2 sin a[i]| <= gap[i]  for the first links

minimised by scipy.optimize.minimize, method trust-constr, then SLSQP, the better of
the two; gradients by hand. Writes chain.json, which TestWitness reads. Run it with
    python3 chain.py > chain.json     (SciPy 1.10, NumPy 1.24 were used)
The chain and its dimensions are invented.
"""
import json
import numpy as np
from scipy.optimize import minimize, LinearConstraint, NonlinearConstraint

P, N, SEATED = 12.7, 20, 8


def solve(tension, theta, slack, stiffness, gaps):
    def split(u):
        y0, a = u[0], u[1:]
        y = y0 + np.concatenate(([0], np.cumsum(P * np.sin(a))))
        return y, a

    scale = 1.0 / tension

    def energy(u):
        y, a = split(u)
        bend = np.diff(a)
        over = np.maximum(np.abs(bend) - slack, 0)
        x = P * np.sum(np.cos(a))
        return scale * (stiffness / 2 * np.sum(over**2) - tension * (x * np.cos(theta) + y[-1] * np.sin(theta)))

    def gradient(u):
        y, a = split(u)
        bend = np.diff(a)
        over = np.maximum(np.abs(bend) - slack, 0) * np.sign(bend) * stiffness
        g = np.zeros(N + 1)
        g[0] = -tension * np.sin(theta)
        g[1:] = -tension * P * (np.cos(a) * np.sin(theta) - np.sin(a) * np.cos(theta))
        g[2:] += over
        g[1:-1] -= over
        return scale * g

    def middles(u):
        y, a = split(u)
        return (y[:-1] + P / 2 * np.sin(a))[:SEATED]

    def middles_by(u):
        _, a = split(u)
        j = np.zeros((SEATED, N + 1))
        j[:, 0] = 1
        for i in range(SEATED):
            j[i, 1:1 + i] = P * np.cos(a[:i])
            j[i, 1 + i] = P / 2 * np.cos(a[i])
        return j

    gaps = np.array(gaps)
    best = None
    start = np.concatenate(([0], np.zeros(SEATED), np.full(N - SEATED, theta)))
    for _ in range(6):
        r = minimize(energy, start, jac=gradient, method="SLSQP", options={"maxiter": 5000, "ftol": 1e-16},
                     constraints=[{"type": "ineq", "fun": lambda u: gaps - middles(u), "jac": lambda u: -middles_by(u)},
                                  {"type": "ineq", "fun": lambda u: gaps + middles(u), "jac": middles_by}])
        if np.max(np.abs(middles(r.x)) - gaps) < 1e-7 and (best is None or r.fun < best.fun):
            best = r
        t = minimize(energy, r.x, jac=gradient, method="trust-constr",
                     constraints=[NonlinearConstraint(middles, -gaps, gaps, jac=middles_by)],
                     options={"maxiter": 3000, "gtol": 1e-12, "xtol": 1e-14, "initial_barrier_parameter": 1e-3, "barrier_tol": 1e-12})
        if np.max(np.abs(middles(t.x)) - gaps) < 1e-7 and t.fun < best.fun:
            best = t
        start = best.x
    y, _ = split(best.x)
    return y


def main():
    inner, outer, thick, tip, relief, ra, h = 2.18, 4.0, 1.8, 1.0, np.radians(17), 66.97, 4.0
    r = P / (2 * np.sin(np.pi / 32))
    s1 = r * np.arccos((r - h) / ra)
    out = []
    for kind in ("inner", "outer"):
        gaps = []
        for i in range(SEATED):
            back = SEATED - i  # links behind the arriving one
            w = {"inner": inner, "outer": outer}[kind if back % 2 == 0 else {"inner": "outer", "outer": "inner"}[kind]]
            s = s1 - back * P
            depth = ra * np.cos(max(s, 0) / r) - (r - h)
            t = min(thick, tip + 2 * max(depth, 0) * np.tan(relief))
            gaps.append((w - t) / 2)
        for tension in (12.0, 120.0, 600.0):
            for deg in (1.0, 2.0, 3.0, 4.0):
                for slack in (0.6, 1.5):
                    y = solve(tension, np.radians(deg), np.radians(slack), 1e4, gaps)
                    out.append({"arriving": kind, "tension_n": tension, "angle_deg": deg, "slack_deg": slack,
                                "stiffness_nmm_rad": 1e4, "gaps_mm": [round(float(g), 9) for g in gaps],
                                "pins_mm": [round(float(v), 6) for v in y]})
    print(json.dumps({"pitch_mm": P, "links": N, "cases": out}, indent=0))


main()
