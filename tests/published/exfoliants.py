"""The part of reference.py about exfoliants: the grit index, blends, sieve tables, scores.

There is no published grit index. Its equations are written again here, class by class, with a
midpoint rule in time where grains dissolve; this guards the arithmetic only. Besides:

* the spread over the model's constants: the same equations at the points of scipy.stats.qmc.Halton,
  and in random draws of numpy;
* sieve tables: scipy.optimize.curve_fit;
* a workshop's scores: numpy.polyfit;
* the linear programs at which the blend solver of Quern ends (programs.json, written by the test
  itself with UPDATE_PROGRAMS=1): HiGHS, by scipy.optimize.linprog.
"""

import json
from pathlib import Path

import numpy as np
from scipy.optimize import curve_fit, linprog
from scipy.stats import norm, qmc

PROGRAMS = Path(__file__).with_name("programs.json")
SEED = 20_261_125

# name: d50, sigma, density, MPa, angularity, um/s lost.
GRAINS = {
    "reference stone": (299, 0.313, 1.35, 250, 0.60, 0), "fine stone": (120, 0.40, 1.35, 250, 0.60, 0),
    "walnut": (316, 0.28, 1.35, 250, 0.70, 0), "olive stone": (350, 0.35, 1.35, 280, 0.60, 0),
    "coconut": (500, 0.35, 1.40, 300, 0.75, 0), "strawberry": (1100, 0.12, 1.25, 200, 0.35, 0),
    "jojoba": (354, 0.21, 0.90, 15, 0.0, 0), "sugar": (350, 0.35, 1.587, 600, 0.55, 10),
    "salt": (400, 0.30, 2.165, 200, 0.60, 10), "fine pumice": (60, 0.50, 2.35, 5000, 0.85, 0),
    "coarse pumice": (400, 0.35, 2.35, 5000, 0.85, 0), "silica": (150, 0.4, 2.1, 1500, 0.30, 0),
    "rice": (200, 0.40, 1.50, 150, 0.35, 0), "oats": (250, 0.55, 1.40, 40, 0.30, 0),
    "coffee": (450, 0.40, 1.30, 90, 0.45, 0), "bamboo": (150, 0.5, 1.45, 250, 0.55, 0),
    "loofah": (400, 0.45, 1.45, 150, 0.40, 0),
}  # fmt: skip

BLENDS = [
    [("reference stone", 5)], [("reference stone", 10)], [("reference stone", 20)],
    [("fine stone", 3)], [("fine stone", 5)], [("walnut", 5)], [("olive stone", 5)],
    [("coconut", 5), ("strawberry", 3)], [("coconut", 2.5), ("strawberry", 1.5)],
    [("coconut", 8)], [("strawberry", 3)], [("jojoba", 5)], [("jojoba", 10)],
    [("sugar", 5)], [("sugar", 30)], [("salt", 10)], [("fine pumice", 5)],
    [("coarse pumice", 10)], [("silica", 3)], [("rice", 5)], [("oats", 5)], [("coffee", 5)],
    [("bamboo", 3)], [("loofah", 3)], [("reference stone", 2.287)],
    [("reference stone", 6 * 0.4321), ("jojoba", 6 * 0.5679)],
]  # fmt: skip


# The model's own constants: A0, HH in MPa, DC in um, V0; and the ranges they are drawn from to see
# which orderings outlast them.
CONSTANTS = (0.15, 100.0, 50.0, 0.10)
RANGES = [(0.05, 0.3), (30.0, 300.0), (20.0, 100.0), (0.04, 0.25)]
# Blends of BLENDS followed through the draws.
FOLLOWED = {"jojoba": 11, "fine stone": 3, "coconut and strawberry": 7, "sugar": 13}


def roughness(blend, wet=False, constants=CONSTANTS):
    a0, hh, dc, v0 = constants
    rub, bar, bins, steps = 30.0, 1.15, 20, 3000
    z = norm.ppf((np.arange(bins) + 0.5) / bins)
    s_all, v_all = [], []
    for name, percent in blend:
        d50, sigma, rho, h, a, rate = GRAINS[name]
        d = d50 * np.exp(sigma * z)
        seconds = (np.arange(steps) + 0.5) / steps * rub if wet and rate else np.zeros(1)
        now = np.maximum(d[:, None] - rate * seconds[None, :], 0.0)
        reach = (now / 300 * now**2 / (now**2 + dc**2)).mean(axis=1)
        s_all.append((a0 + (1 - a0) * a) * h / (h + hh) * reach)
        v_all.append(np.full(bins, percent / 100 / bins * bar / rho))
    s, v = np.concatenate(s_all), np.concatenate(v_all)
    order = np.argsort(-s, kind="stable")
    piled = np.concatenate([[0.0], np.cumsum(v[order])])
    return float((s[order] * -np.diff(np.exp(-piled / v0))).sum())


def grit():
    reference = roughness(BLENDS[0])
    rows = [
        {
            "blend": blend,
            "index": 50 * roughness(blend) / reference,
            "in_use": 50 * roughness(blend, wet=True) / reference,
        }
        for blend in BLENDS
    ]
    rng = np.random.default_rng(SEED)
    draws = []
    for _ in range(2000):
        constants = [round(float(rng.uniform(low, high)), 4) for low, high in RANGES]
        scale = 50 / roughness(BLENDS[0], constants=constants)
        values = {
            name: scale * roughness(BLENDS[i], constants=constants) for name, i in FOLLOWED.items()
        }
        draws.append({"constants": constants, "index": values})
    rivals = [[(name, 5)] for name in GRAINS if name != "jojoba"]
    rough = lambda blend, draw: roughness(blend, constants=draw["constants"])
    gentlest = [
        all(rough(rival, draw) > rough([("jojoba", 5)], draw) for rival in rivals)
        for draw in draws[:1000]
    ]
    spread = {
        name: [float(p) for p in np.percentile([x["index"][name] for x in draws], [5, 95])]
        for name in FOLLOWED
    }
    keys = ("d50_um", "sigma", "density", "hardness_mpa", "angularity", "loss_um_per_s")
    return {
        "reference_roughness": reference,
        "grains": {name: dict(zip(keys, values)) for name, values in GRAINS.items()},
        "blends": rows, "draws": draws[:25], "spread": spread,
        "jojoba_gentlest": sum(gentlest) / len(gentlest),
    }  # fmt: skip


# As RANGES; the last three are drawn evenly over their logarithm for the spread that Quern shows.
SPREAD_OF = {
    "jojoba": [("jojoba", 5)], "fine stone": [("fine stone", 3)],
    "coconut and strawberry": [("coconut", 5), ("strawberry", 3)], "walnut": [("walnut", 5)],
    "fine pumice": [("fine pumice", 5)], "sugar": [("sugar", 5)],
}  # fmt: skip


def constants_at(shares):
    (low, high), *scales = RANGES
    first, *rest = shares
    return [low + first * (high - low)] + [
        a * (b / a) ** share for (a, b), share in zip(scales, rest)
    ]


def spread():
    # Term 0 of the sequence is the corner of the ranges and is left out.
    halton = [constants_at(p) for p in qmc.Halton(d=4, scramble=False).random(65)[1:]]
    rng = np.random.default_rng(SEED + 1)
    drawn = [constants_at(p) for p in rng.random((2000, 4))]
    scale = lambda constants: 50 / roughness(BLENDS[0], constants=constants)

    def middle(blend, draws, wet=False):
        values = [scale(c) * roughness(blend, wet, c) for c in draws]
        return [float(p) for p in np.percentile(values, [5, 95])]

    def ends(blend, k):
        at = lambda x: [x if i == k else c for i, c in enumerate(CONSTANTS)]
        return sorted(scale(at(x)) * roughness(blend, constants=at(x)) for x in RANGES[k])

    return {
        name: {
            "blend": blend, "halton": middle(blend, halton),
            "halton_in_use": middle(blend, halton, wet=True), "drawn": middle(blend, drawn),
            "by_constant": [ends(blend, k) for k in range(4)],
        }
        for name, blend in SPREAD_OF.items()
    }  # fmt: skip


# Opening in um and mass kept, mass in the pan, sample weighed in. All invented but the last: sand of
# John R. Anderson's laboratory manual, see sieves.rs.
TABLES = {
    "fruit stone, %": (
        [(500, 4.2), (425, 9.1), (355, 17.8), (250, 38.4), (180, 21.3), (125, 7.0)], 2.2, 100.0,
    ),
    "walnut, g, nothing on the top sieve": (
        [(600, 0.0), (500, 1.12), (425, 6.35), (300, 24.80), (212, 13.42), (150, 3.21)], 0.86, 50.0,
    ),
    "coarse tail, g": (
        [(1000, 5.5), (710, 6.0), (500, 7.5), (355, 22.0), (250, 36.0), (180, 17.0)], 6.0, None,
    ),
    "fine powder, g, three sieves": ([(250, 3.1), (150, 11.9), (106, 17.4)], 12.7, None),
    "pumice, %, rows in no order": (
        [(75, 21.6), (45, 19.2), (212, 0.9), (106, 17.9), (150, 9.4), (32, 12.3)], 18.0, 100.0,
    ),
    "narrow cut with dust, g": (
        [(500, 0.0), (355, 0.0), (250, 0.0), (180, 0.0), (125, 8.7), (90, 0.1), (63, 0.1)], 1.4, None,
    ),
    "sand, g": (
        [(2000, 2.95), (1000, 4.95), (500, 13.36), (250, 9.55), (125, 2.13), (63, 0.46)], 0.02, 33.52,
    ),
}  # fmt: skip


def sieve_tables():
    below = lambda x, mu, sigma: norm.cdf((x - mu) / sigma)

    def slopes(x, mu, sigma):
        z = (x - mu) / sigma
        return np.stack([-norm.pdf(z), -z * norm.pdf(z)], axis=1) / sigma

    out = []
    for name, (rows, pan, sample) in TABLES.items():
        um, kept = np.array(sorted(rows)).T
        share = (pan + np.concatenate([[0.0], np.cumsum(kept)[:-1]])) / (pan + kept.sum())
        start = (np.interp(0.5, share, np.log(um)), 0.4)
        (mu, sigma), _ = curve_fit(
            below, np.log(um), share, p0=start, jac=slopes, xtol=1e-15, ftol=1e-15, gtol=1e-15,
        )  # fmt: skip
        off = below(np.log(um), mu, sigma) - share
        out.append({
            "name": name, "rows": rows, "pan": pan, "sample": sample,
            "below": [float(s) for s in share], "d50": float(np.exp(mu)), "sigma": float(sigma),
            "rms": float(np.sqrt(np.mean(off**2))), "worst": float(np.abs(off).max()),
        })  # fmt: skip
    return out


# Grit index and a workshop's score; invented.
SCORES = [
    [(3.3, 2), (50, 6)],
    [(3.3, 1), (18.7, 4), (85.7, 7)],
    [(8.5, 2), (11.9, 3), (26.8, 3.5), (50, 6), (59, 5.5), (91.6, 8), (160.5, 9)],
    [(0, 1), (0.4, 1.5), (250, 10), (153.5, 10)],
    [(14.4, 6), (43.8, 5), (77.6, 3)],
]


def scores():
    out = []
    for pairs in SCORES:
        index, score = np.array(pairs, dtype=float).T
        x = np.log(1 + index / 10)
        slope, at_zero = np.polyfit(x, score, 1)
        off = score - (at_zero + slope * x)
        free = len(pairs) - 2
        out.append({
            "scores": pairs, "slope": float(slope), "at_zero": float(at_zero),
            "error": float(np.sqrt((off**2).sum() / free)) if free else None,
            "at_40": float(np.polyval([slope, at_zero], np.log(5.0))),
        })  # fmt: skip
    return out


def programs():
    """Objective of each program by HiGHS, and the index of its blend by the equations above."""
    scale = 50 / roughness(BLENDS[0])
    out = []
    for p in json.loads(PROGRAMS.read_text("utf-8")):
        rows = np.array([row["coefficients"] for row in p["rows"]])
        low, high = (np.array([row[end] for row in p["rows"]]) for end in ("low", "high"))
        even = low == high
        solved = linprog(
            p["cost"],
            A_ub=np.concatenate([rows[~even], -rows[~even]]) if not even.all() else None,
            b_ub=np.concatenate([high[~even], -low[~even]]) if not even.all() else None,
            A_eq=rows[even], b_eq=high[even],
            bounds=list(zip(p["lower"], p["upper"])), method="highs",
            options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
        )  # fmt: skip
        assert solved.success, (p["name"], solved.message)
        out.append({
            "name": p["name"], "objective": float(solved.fun),
            "index": scale * roughness(p["blend"], wet=p["stage"] == "in use"),
        })  # fmt: skip
    return out
