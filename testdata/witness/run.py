#!/usr/bin/env python3
"""Runs of chain from wheel to wheel by another hand: line contact, slack and stiff
joints, seat friction with history, teeth with a length, in SciPy.

The energy of the model (frictionless without the last sum)

    E = sum T/(2p) (y[i+1] - y[i])^2 + sum (M |phi| + k/2 max(|phi| - phi0, 0)^2)
        + sum f |m - m0|,    phi = (y[i+1] - 2 y[i] + y[i-1])/p,  m = (y[i] + y[i+1])/2
    |m +- tau (y[i+1] - y[i])/p - c| <= play   where a tooth stands in the link

is written as a quadratic programme with more unknowns, z = (y, v, t, r):

    min  T/(2p) |dy|^2 + k/2 |phi - v|^2 + M sum t + f . r
    |v| <= phi0,  t >= +-phi,  r >= +-(m - m0),  and the teeth

which is not strictly convex. Proximal points make it so: each adds eps/2 |z - last|^2,
and soon the constraints that push no longer change. With L L' the Hessian's Cholesky factors and
u = L' z + L^-1 g it is the nearest point to 0 of a polyhedron G u >= h (Lawson and Hanson,
Solving Least Squares Problems, 1974, ch. 23, problem LDP), and that a least-squares
problem in multipliers that are not negative: scipy.optimize.nnls. The constraints whose
multipliers are positive taken as equalities, one linear solve gives the point exactly;
every constraint, every multiplier's sign and the balance holding proves it, for a convex
problem. It goes on until they hold to 1e-10 (mm, and forces in units of T/p), or keeps the
best of a hundred; the largest miss of all is printed (3.4e-8 when this was run).

A march moves in even steps. At time s (pitches) link i lies s1 + (i - s) p before the
tangent point of the wheel it runs onto, s1 the first overlap; even links are inner ones.
Every link past the tangent point of either wheel, whose both pins were there the step
before, is held by friction where it then was. The row begins `seated` links past the
tangent point (and the links between that and s1) and ends so past the other. Nine pitches
on, the last inner link at its first overlap gives x_in; the next inner one is then freed
of tooth and friction, and a pitch later the outer one behind it gives x_out.

Writes run.json, which TestRunWitness reads. Run it with
    python3 run.py > run.json     (some minutes; SciPy 1.10, NumPy 1.24 were used)
Chain and wheels are invented.
"""
import json
import sys
import numpy as np
from scipy.linalg import cholesky, solve_triangular
from scipy.optimize import nnls

P, STEPS, PITCHES, SEATED = 12.7, 6, 9, 5
WORST = {"residual": 0.0, "proximal": 0}


class Wheel:
    def __init__(self, teeth, height, tips, fulls, relief):
        self.teeth, self.r = teeth, P / (2 * np.sin(np.pi / teeth))
        self.ra = self.r + height
        self.tips, self.fulls, self.relief = tips, fulls, np.radians(relief)

    def first_overlap(self, h):
        return self.r * np.arccos((self.r - h) / self.ra)

    def play(self, width, kind, before, h):
        """half of what a link's inside width leaves beside the tooth"""
        depth = self.ra * np.cos(max(before, 0) / self.r) - (self.r - h)
        thick = min(self.fulls[kind], self.tips[kind] + 2 * max(depth, 0) * np.tan(self.relief))
        return (width - thick) / 2


def programme(n, case, seats):
    """rows of the quadratic programme: H, g, G, b with G z <= b"""
    nj, ns = n - 2, len(seats)
    rub = [i for i, s in enumerate(seats) if s["f"] > 0]
    size = n + 2 * nj + len(rub)
    unit = case["tension_n"] / P  # energies in units of T/p: mm^2
    d = np.zeros((n - 1, size))
    for i in range(n - 1):
        d[i, i], d[i, i + 1] = -1, 1
    phi = np.zeros((nj, size))
    for j in range(nj):
        phi[j, j], phi[j, j + 1], phi[j, j + 2] = 1, -2, 1  # in mm: p times the angle
    v = np.zeros((nj, size))
    v[:, n:n + nj] = np.eye(nj)
    t = np.zeros((nj, size))
    t[:, n + nj:n + 2 * nj] = np.eye(nj)
    a = phi - v
    stiff = case["stiffness_nmm_rad"] / unit / P**2
    hess = d.T @ d + stiff * (a.T @ a)
    g = np.zeros(size)
    g[n + nj:n + 2 * nj] = case["tension_n"] * case["contact_mm"] / 2 / unit / P
    rows, most = [v, -v, phi - t, -phi - t], [np.full(2 * nj, np.radians(case["slack_deg"]) * P), np.zeros(2 * nj)]
    for k, i in enumerate(rub):
        s = seats[i]
        g[n + 2 * nj + k] = s["f"] / unit
        m = np.zeros(size)
        m[s["link"]] = m[s["link"] + 1] = 0.5
        e = np.zeros(size)
        e[n + 2 * nj + k] = 1
        rows.append(np.array([m - e, -m - e]))
        most.append(np.array([s["was"], -s["was"]]))
    for s in seats:
        for end in (1, -1):
            w = end * case["tooth_mm"] / 2 / P
            m = np.zeros(size)
            m[s["link"]], m[s["link"] + 1] = 0.5 - w, 0.5 + w
            rows.append(np.array([m, -m]))
            most.append(np.array([s["centre"] + s["play"], s["play"] - s["centre"]]))
    return hess, g, np.vstack(rows), np.concatenate(most)


def minimise(hess, g, rows, most, z):
    size = len(g)
    eps = 1e-3
    low = cholesky(hess + eps * np.eye(size), lower=True)
    back = solve_triangular(low, rows.T, lower=True).T  # rows L'^-1
    best, least = z, np.inf
    for k in range(100):
        gz = solve_triangular(low, g - eps * z, lower=True)
        # z = L'^-1 (u - gz);  rows z <= most  <=>  -back u >= -(most + back gz)
        e = np.vstack([-back.T, -(most + back @ gz)])
        f = np.zeros(size + 1)
        f[-1] = 1
        w, _ = nnls(e, f, maxiter=40 * len(most))
        r = e @ w - f
        new = solve_triangular(low.T, -r[:-1] / r[-1] - gz, lower=False)
        moved, z = np.max(np.abs(new - z)), new
        # Polish: the constraints that push, as equalities.
        on = w / -r[-1] > 1e-9
        a = rows[on]
        kkt = np.block([[hess, a.T], [a, np.zeros((len(a), len(a)))]])
        x = np.linalg.lstsq(kkt, np.concatenate([-g, most[on]]), rcond=1e-13)[0]
        at, push = x[:size], x[size:]
        miss = max(np.max(rows @ at - most), -np.min(push, initial=0), np.max(np.abs(hess @ at + g + a.T @ push)))
        if miss < least:
            best, least = at, miss
        if miss < 1e-10 or moved < 1e-9:
            break
    WORST["residual"], WORST["proximal"] = max(WORST["residual"], least), max(WORST["proximal"], k + 1)
    return best


class March:
    def __init__(self, case):
        self.c = case
        self.to, self.fr = Wheel(**case["to"]), Wheel(**case["from"])
        self.s1 = self.to.first_overlap(case["half_height_mm"])
        self.sf = self.fr.first_overlap(case["half_height_mm"])
        self.across = case["length_mm"] * np.sin(np.radians(case["bend_deg"]))
        self.behind = int(np.ceil(self.s1 / P)) + SEATED
        self.places = {}  # of pins by number: pin k is the rear of link k

    def step(self, time, freed=None, friction=True):
        c, length = self.c, self.c["length_mm"]
        base = int(np.floor(time + 1e-9)) - self.behind
        first = self.s1 + (base - time) * P - P / 2
        n = 1 + int(np.ceil((length + (SEATED + 1) * P - first) / P - 1e-12))
        seats = []
        for i in range(n - 1):
            link = base + i
            s = self.s1 + (link - time) * P
            wheel, centre, before, s1 = (self.to, 0.0, s, self.s1) if s <= length / 2 else (self.fr, self.across, length - s, self.sf)
            if before > s1 - 1e-9 or link == freed:
                continue
            kind = link % 2
            width = (c["inner_mm"], c["outer_mm"])[kind]
            x = {"link": i, "play": wheel.play(width, kind, before, c["half_height_mm"]), "centre": centre, "f": 0.0, "was": 0.0}
            if friction and link in self.places and link + 1 in self.places and before <= 1e-9:
                x["was"] = (self.places[link] + self.places[link + 1]) / 2
                x["f"] = c["seat"] * c["tension_n"] * 2 * np.pi / wheel.teeth
                if wheel is self.to:
                    x["f"] *= c["hold"] ** (-before / P)
            seats.append(x)
        h, g, rows, most = programme(n, c, seats)
        sine = self.across / length
        z = np.zeros(len(g))
        for i in range(n):
            z[i] = self.places.get(base + i, np.clip(first + i * P, 0, length) * sine)
        phi = z[:n - 2] - 2 * z[1:n - 1] + z[2:n]
        z[n:2 * n - 2] = np.clip(phi, -np.radians(c["slack_deg"]) * P, np.radians(c["slack_deg"]) * P)
        z[2 * n - 2:3 * n - 4] = np.abs(phi)
        y = minimise(h, g, rows, most, z)[:n]
        self.places = {base + i: y[i] for i in range(n)}

    def offset(self, link):
        return (self.places[link] + self.places[link + 1]) / 2

    def frictionless(self):
        self.step(0, friction=False)
        inner = self.offset(0)
        self.places = {}
        self.step(1, freed=0, friction=False)
        return inner, self.offset(1)

    def marched(self):
        first = self.behind % 2
        end = first + PITCHES
        last, out = end - end % 2, end + end % 2
        for s in range(first * STEPS, (out + 1) * STEPS + 1):
            self.step(s / STEPS, freed=out if s > out * STEPS else None)
            if s == last * STEPS:
                inner = self.offset(last)
        return inner, self.offset(out + 1)


def cases():
    plain = lambda teeth, tip, full: {"teeth": teeth, "height": 2.3, "tips": [tip, tip], "fulls": [full, full], "relief": 17}
    wide = {"teeth": 34, "height": 2.1, "tips": [1.1, 2.4], "fulls": [1.8, 3.4], "relief": 17}
    chain = {"inner_mm": 2.22, "outer_mm": 3.95, "half_height_mm": 4.0, "stiffness_nmm_rad": 9e4, "slack_deg": 0.7, "contact_mm": 3.9, "seat": 0.11, "tooth_mm": 2.4}
    slack = dict(chain, slack_deg=1.4, stiffness_nmm_rad=3e4)
    stiff = dict(chain, slack_deg=0.35, stiffness_nmm_rad=2.4e5, contact_mm=4.2, seat=0.16)
    ring, cogs = plain(33, 0.95, 1.75), [plain(47, 1.05, 1.6), plain(27, 0.9, 1.65), plain(13, 1.0, 1.6)]
    out = []
    for ch, to, fr, length, tension, bend, hold in [
            (chain, cogs[0], ring, 418, 10.5, 3.1, 1), (slack, cogs[0], ring, 425, 8.0, 2.4, 1), (stiff, cogs[1], ring, 407, 12.5, 2.7, 1),
            (chain, cogs[1], ring, 431, 7.0, 1.6, 1), (slack, cogs[2], ring, 440, 9.0, 1.9, 1), (chain, ring, cogs[0], 421, 540.0, 2.9, 0.85),
            (slack, wide, cogs[0], 413, 310.0, 3.4, 0.85), (stiff, ring, cogs[2], 436, 180.0, 2.2, 0.85)]:
        out.append(dict(ch, to=to, length_mm=length, tension_n=tension, bend_deg=bend, hold=hold, **{"from": fr}))
    return out


def main():
    out = []
    for c in cases():
        free = March(c).frictionless()
        held = March(c).marched()
        c["frictionless_mm"], c["marched_mm"] = [round(float(x), 9) for x in free], [round(float(x), 9) for x in held]
        print(c["frictionless_mm"], c["marched_mm"], WORST, file=sys.stderr, flush=True)
        out.append(c)
    print(json.dumps({"pitch_mm": P, "cases": out}, indent=0))


main()
