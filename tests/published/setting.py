"""Figures for pouring and cooling, for setting.json; see reference.py.

* packing of spheres: the mapping onto rods on a line with greedy insertion, written again from the
  paper (Farr and Groot, Close packing density of polydisperse hard spheres, arXiv 0912.0852;
  f = 0.7654);
* plane wall without latent heat: roots by scipy.optimize.brentq, the full series;
* freezing of a liquid at its melting point: Neumann's root by brentq, and, with a film on the cold
  face, the moving front fixed by a change of coordinate, solved by Chebyshev collocation in depth
  and scipy's LSODA in time;
* slab of a product that melts over a range: layers in depth, scipy's LSODA in time, enthalpy as
  unknown, at two resolutions and carried to the limit;
* lumped cooling: scipy.integrate.quad.
"""

import heapq
import math

import numpy as np
from scipy.constants import R, zero_Celsius
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import erf, ndtr

RODS = 100_000
GAP = 0.7654
SIGMAS = [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]


def rods(sigma, count):
    """Chord lengths, longest first, that a random line cuts from lognormal spheres.

    A line meets a sphere of diameter D with a weight of D^2 and cuts a chord D sqrt(u) from it,
    u even. The lengths are the quantiles at the middle of equal steps.
    """
    p = (np.arange(count) + 0.5) / count
    if sigma == 0:
        return np.sqrt(p)[::-1]
    # ln D weighted by D^2 is normal around 2 sigma^2 where ln D is around 0.
    x = np.linspace(-30.0, 2 * sigma**2 + 9 * sigma, 2_000_001)
    below = ndtr(x / sigma - 2 * sigma) + np.exp(2 * x - 2 * sigma**2) * ndtr(-x / sigma)
    keep = np.concatenate([[True], np.diff(below) > 0])
    return np.exp(np.interp(p, below[keep], x[keep]))[::-1]


def packed_share(sigma, count):
    """Each rod goes into the widest gap, f of its length from both neighbours, all of which are
    longer; a gap too narrow is widened. The line is closed to a ring."""
    lengths = rods(sigma, count)
    gaps = [-GAP * lengths[0]]
    empty = GAP * lengths[0]
    for length in lengths[1:]:
        widest = -gaps[0]
        margin = GAP * length
        rest = widest - length - margin
        if rest < margin:
            empty += margin - rest
            rest = margin
        empty -= length
        heapq.heapreplace(gaps, -rest)
        heapq.heappush(gaps, -margin)
    total = float(lengths.sum())
    return total / (total + empty)


def packing():
    return [{"sigma": s, "share": round(packed_share(s, RODS), 7)} for s in SIGMAS]


BIOTS = [0.01, 0.1, 0.2, 0.45, 1.0, 2.0, 4.5, 10.0, 40.0, 100.0]


def roots(biot, count):
    f = lambda z: z * math.sin(z) - biot * math.cos(z)
    exact = {"xtol": 1e-15, "rtol": 8.9e-16}
    return [brentq(f, n * math.pi, (n + 0.5) * math.pi, **exact) for n in range(count)]


def constant(zeta):
    return 4 * math.sin(zeta) / (2 * zeta + math.sin(2 * zeta))


def walls():
    """Middle and face of a plane wall, as shares of the first excess, over Fourier numbers."""
    out = []
    for biot in BIOTS:
        zeta = roots(biot, 60)
        c = [constant(z) for z in zeta]
        middle = lambda fo: sum(a * math.exp(-z * z * fo) for a, z in zip(c, zeta))
        face = lambda fo: sum(a * math.exp(-z * z * fo) * math.cos(z) for a, z in zip(c, zeta))
        # When the middle has lost these shares of its excess.
        fourier = [
            brentq(lambda fo: middle(fo) - theta, 1e-3, 1e4, xtol=1e-13, rtol=8.9e-16)
            for theta in (0.9, 0.5, 11 / 54, 0.05)
        ]
        out.append({
            "biot": biot, "zeta": zeta[:20], "c": c[:20],
            "at": [{"fourier": fo, "middle": middle(fo), "face": face(fo)} for fo in fourier],
        })  # fmt: skip
    return out


def neumann(stefan):
    f = lambda x: x * math.exp(x * x) * erf(x) - stefan / math.sqrt(math.pi)
    return brentq(f, 1e-9, 5.0, xtol=1e-15, rtol=8.9e-16)


def chebyshev(n):
    """Points from 0 to 1 and the matrix that takes a derivative there (Trefethen)."""
    k = np.arange(n + 1)
    x = np.cos(np.pi * k / n)
    c = np.where((k == 0) | (k == n), 2.0, 1.0) * (-1.0) ** k
    dx = x[:, None] - x[None, :]
    d = np.outer(c, 1 / c) / (dx + np.eye(n + 1))
    d -= np.diag(d.sum(axis=1))
    return (1 - x) / 2, -2 * d


def front(depth, h, k, rho, cp, latent, below, n=12):
    """Seconds until a front has gone `depth`, from liquid at its melting point, air `below` it.

    Excess over the air as unknown, depth over the front's as coordinate. It starts from a front
    so near that its solid holds no heat to speak of, where the quasi-steady law is exact.
    """
    xi, d = chebyshev(n)
    d2 = d @ d
    begin = 1e-4 * depth
    t0 = rho * latent / below * (begin**2 / (2 * k) + begin / h)

    def ends(inner, s):
        """The face from the film's balance, the front at the melting point."""
        rest = d[0, 1:-1] @ inner + d[0, -1] * below
        face = rest * k / (h * s - k * d[0, 0])
        return np.concatenate([[face], inner, [below]])

    def rate(_, y):
        s = math.exp(y[-1])
        v = ends(y[:-1], s)
        slope = d @ v
        speed = k * slope[-1] / (rho * latent * s)
        inner = k / (rho * cp * s * s) * (d2 @ v) + xi * speed / s * slope
        return np.append(inner[1:-1], speed / s)

    face = below * (k / h) / (begin + k / h)
    first = np.append(face + (below - face) * xi[1:-1], math.log(begin))
    there = lambda _, y: y[-1] - math.log(depth)
    there.terminal = True
    done = solve_ivp(
        rate, (t0, 1e7), first, method="LSODA", rtol=1e-8, atol=1e-9, events=there
    )  # fmt: skip
    return float(done.t_events[0][0])


# A fat: 15 mm, 0.3 W/(m K), 900 kg/m3, 200 kJ/kg.
STEFAN = {"depth": 0.015, "k": 0.3, "rho": 900.0, "latent": 200e3}


def stefan():
    quasi = lambda h, below: (
        STEFAN["rho"] * STEFAN["latent"] / below
        * (STEFAN["depth"] ** 2 / (2 * STEFAN["k"]) + STEFAN["depth"] / h)
    )  # fmt: skip
    numbers = [0.01, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0]
    cold = neumann(0.2)
    seconds = (STEFAN["depth"] / (2 * cold)) ** 2 * STEFAN["rho"] * 2000 / STEFAN["k"]
    # The moving front without a film is Neumann's.
    again = front(**STEFAN, h=1e7, cp=2000.0, below=20.0)
    assert abs(again / seconds - 1) < 1e-5, (again, seconds)
    cases = []
    for h, below in ((7.5, 48.3), (20.0, 30.0), (200.0, 20.0)):
        for cp in (20.0, 2000.0):
            cases.append({
                "h": h, "below": below, "cp": cp, "quasi_steady_s": quasi(h, below),
                "seconds": front(**STEFAN, h=h, cp=cp, below=below),
            })  # fmt: skip
    return {
        "roots": [(st, neumann(st)) for st in numbers],
        "cold_wall": {"seconds": seconds, "quasi_steady_s": quasi(math.inf, 20.0)},
        "with_film": cases,
    }


# The made-up bar of melt.rs: mol per 40 g of fat (M, Tm in C, heat in kJ/mol, group), oil last.
BAR = [
    (6 / 256.42408, 62.49, 53.7, None), (6 / 284.47724, 69.3, 61.2, None),
    (1.8 / 242.44056, 49.3, 33.6, "alcohols"), (4.2 / 270.49372, 58.0, 45.0, "alcohols"),
    (6 / 430.0, 56.0, 60.0, None), (3.2 / 862.0, 36.0, 140.0, None),
    (12.8 / 885.43, None, None, None),
]  # fmt: skip
MASS = [6, 6, 1.8, 4.2, 6, 3.2, 12.8]


def solid(t_c):
    """Solid share of the bar's fat: nested root finding on the balance of the liquid."""
    t = t_c + zero_Celsius
    s = [
        math.inf if tm is None else math.exp(-dh * 1e3 / R * (1 / t - 1 / (tm + zero_Celsius)))
        for _, tm, dh, _ in BAR
    ]
    mixed = [i for i, part in enumerate(BAR) if part[3]]

    def dissolved(liquid):
        out = [min(n, si * liquid) for (n, *_), si in zip(BAR, s)]
        over = lambda crystal: sum(BAR[i][0] / (s[i] * liquid + crystal) for i in mixed) - 1
        crystal = brentq(over, 0.0, 1.0, xtol=1e-16) if over(0.0) > 0 else 0.0
        for i in mixed:
            out[i] = BAR[i][0] * s[i] * liquid / (s[i] * liquid + crystal)
        return out

    total = sum(n for n, *_ in BAR)
    left = lambda liquid: sum(dissolved(liquid)) - liquid
    liquid = total if left(total) >= 0 else brentq(left, BAR[-1][0], total, xtol=1e-16)
    share = [1 - l / n for l, (n, *_) in zip(dissolved(liquid), BAR)]
    return sum(m * x for m, x in zip(MASS, share)) / sum(MASS)


GRID = np.arange(10.0, 80.01, 0.25)
RHO, CP, K, LATENT, FAT = 1150.0, 1700.0, 0.25, 190e3, 0.4


def slab(t, heat, depth, h, air, start, marks, n):
    """Seconds when the middle passes each mark, from `n` layers of equal depth.

    The middle is carried from the first two layers to the face of symmetry, with a parabola.
    """
    dx = depth / n
    film = 1 / (dx / (2 * K) + 1 / h)

    def rate(_, y):
        at = np.interp(y, heat, t)
        flow = np.empty(n + 1)
        flow[0] = 0
        flow[1:-1] = K / dx * (at[:-1] - at[1:])
        flow[-1] = film * (at[-1] - air)
        return (flow[:-1] - flow[1:]) / (RHO * dx)

    def event(mark):
        def f(_, y):
            at = np.interp(y[:2], heat, t)
            return at[0] + (at[0] - at[1]) / 8 - mark
        return f

    events = [event(m) for m in marks]
    events[-1].terminal = True
    first = np.full(n, np.interp(start, t, heat))
    done = solve_ivp(
        rate, (0, 2e5), first, method="LSODA", rtol=1e-7, atol=1e-3, max_step=120,
        events=events, lband=1, uband=1,
    )  # fmt: skip
    return [float(e[0]) for e in done.t_events]


def products():
    """Two products that melt over a range: the bar, and one whose solids fall in a line."""
    bar = np.array([solid(t) for t in GRID])
    line = np.clip(1 - GRID / 60, 0, 1)
    heat = lambda s: CP * (GRID - GRID[0]) + LATENT * FAT * (s[0] - s)
    return {"bar": (bar, heat(bar)), "line": (line, heat(line))}


def lumped(heat, over_area, depth, h, air, start, end):
    slopes = np.diff(heat) / np.diff(GRID)
    f = lambda t: slopes[min(np.searchsorted(GRID, t, side="right") - 1, len(slopes) - 1)]
    total = 0.0
    for a, b in zip(GRID[:-1], GRID[1:]):
        low, high = max(a, end), min(b, start)
        if high > low:
            total += quad(lambda t: f((a + b) / 2) / (t - air), low, high, epsabs=0)[0]
    return RHO * over_area * (1 / h + depth / (3 * K)) * total


def slabs():
    made = products()
    marks = [70.0, 60.0, 50.0, 40.0, 32.0]
    cases = []
    for name, depth, h, air in (
        ("bar", 0.015, 5.0, 21.0), ("bar", 0.015, 7.5, 21.0), ("bar", 0.015, 10.0, 21.0),
        ("bar", 0.030, 7.5, 21.0), ("line", 0.015, 7.5, 21.0), ("line", 0.015, 40.0, 5.0),
    ):  # fmt: skip
        heat = made[name][1]
        coarse, fine = (
            np.array(slab(GRID, heat, depth, h, air, 75.0, marks, n)) for n in (40, 80)
        )
        assert (np.abs(coarse / fine - 1) < 2e-3).all(), (name, coarse, fine)
        limit = fine + (fine - coarse) / 3
        cases.append({
            "product": name, "depth": depth, "h": h, "air_c": air,
            "marks_c": marks, "seconds": [float(s) for s in limit],
            "lumped_s": lumped(heat, depth, depth, h, air, 75.0, 32.0),
        })  # fmt: skip
    return {
        "rho": RHO, "cp": CP, "k": K, "latent": LATENT, "fat": FAT,
        "grid_c": [float(t) for t in GRID[::20]],
        "solid": {name: [round(abs(float(v)), 9) for v in s[::20]] for name, (s, _) in made.items()},
        "heat_75_to_32": {
            name: float(np.interp(75, GRID, q) - np.interp(32, GRID, q))
            for name, (_, q) in made.items()
        },
        "cases": cases,
    }  # fmt: skip


def build():
    return {"packing": packing(), "walls": walls(), "stefan": stefan(), "slabs": slabs()}
