"""Random fat phases at the least Gibbs energy, for setting.json; see reference.py.

The energy is convex. scipy minimises it under bounds (L-BFGS-B), which finds the phases; then
scipy.optimize.root solves for a vanishing gradient in the amounts that are free. What is kept has
been certified: by convexity no point has less energy by more than the duality gap that is
calculated from the gradient.
"""

import math

import numpy as np
from scipy.constants import R, zero_Celsius
from scipy.optimize import minimize, root

MIXTURES = 64


def draw(rng):
    """Amounts in mol, molar masses, melting points, heats, crystal of each part."""
    count = int(rng.integers(3, 11))
    n = np.round(rng.uniform(0.02, 1.0, count), 4)
    m = np.round(rng.uniform(140, 900, count), 2)
    tm = np.round(rng.uniform(20, 80, count), 2)
    dh = np.round(0.2 * m * rng.uniform(0.8, 1.2, count), 2)
    # 0 and 1 are shared crystals, -1 is a crystal of its own, -2 never crystallises.
    kind = rng.choice([0, 1, -1, -2], count, p=[0.4, 0.2, 0.25, 0.15])
    return n, m, tm, dh, kind, round(float(rng.uniform(15, 60)), 2)


def energy(l, n, ln_s, kind):
    """Over RT, liquid as the standard: mixing in the melt and in each shared crystal, and what
    crystals of single parts gain. Returns it with its gradient by what is liquid."""
    tiny = 1e-300
    s = np.maximum(n - l, 0)
    l = np.maximum(l, tiny)
    mu = np.log(l / l.sum())
    total = float((l * mu).sum())
    mu_s = ln_s.copy()
    for g in set(kind[kind >= 0]):
        own = kind == g
        x = np.maximum(s[own], tiny)
        mu_s[own] += np.log(x / x.sum())
    solid = s > 0
    total += float((s[solid] * mu_s[solid]).sum())
    return total, mu - mu_s


def gap(l, n, ln_s, kind):
    """The energy at `l` less a lower bound on the least energy, over RT.

    The bound is that of a dual programme: prices of the parts at which no melt and no crystal of
    any composition could form at a gain. Here they are the potentials in the melt, all lowered
    until that holds.
    """
    mu = np.log(l / l.sum())
    worst = 0.0
    for i in np.flatnonzero(kind == -1):
        worst = max(worst, mu[i] - ln_s[i])
    for g in set(kind[kind >= 0]):
        own = kind == g
        worst = max(worst, math.log(np.exp(mu[own] - ln_s[own]).sum()))
    bound = float((n * (mu - worst)).sum())
    return energy(l, n, ln_s, kind)[0] - bound


def least(n, ln_s, kind):
    """Liquid amounts at the least energy; None where nothing is solid, or nothing liquid."""
    free = kind != -2
    whole = lambda part: np.where(free, part, n)
    best = minimize(
        lambda p: (lambda e, d: (e, d[free]))(*energy(whole(put(p, free)), n, ln_s, kind)),
        0.7 * n[free], jac=True, method="L-BFGS-B",
        bounds=[(1e-9 * a, a * (1 - 1e-9 * (k >= 0))) for a, k in zip(n[free], kind[free])],
        options={"maxiter": 20000, "maxfun": 40000, "ftol": 1e-16, "gtol": 1e-11},
    )  # fmt: skip
    l = whole(put(best.x, free))
    partly = free & (l < n * (1 - 1e-6))
    for g in set(kind[kind >= 0]):
        own = kind == g
        # A crystal of next to nothing is none; a real one holds some of each of its parts.
        partly[own] = (n - l)[own].sum() > 1e-6 * n[own].sum()
    if not partly.any() or l.sum() < 1e-3 * n.sum():
        return None

    # The logarithm of what is liquid over what is not keeps both positive; of a crystal of one
    # part only the liquid needs to be.
    shared = partly & (kind >= 0)

    def unpack(u):
        out = n.copy()
        v = put(u, partly)
        out[shared] = n[shared] / (1 + np.exp(-v[shared]))
        alone = partly & ~shared
        out[alone] = np.exp(v[alone])
        return out

    def gradient(u):
        l = unpack(u)
        mu = np.log(l / l.sum())
        mu_s = ln_s.copy()
        v = put(u, partly)
        for g in set(kind[shared]):
            own = shared & (kind == g)
            s = n[own] / (1 + np.exp(v[own]))
            mu_s[own] += np.log(s / s.sum())
        return (mu - mu_s)[partly]

    start = np.where(kind >= 0, np.log(l / np.maximum(n - l, 1e-300)), np.log(l))[partly]
    found = root(gradient, start, method="hybr", options={"xtol": 1e-14})
    liquid = unpack(found.x)
    assert np.abs(gradient(found.x)).max() < 1e-10, found.message
    assert (liquid > 0).all() and (liquid <= n).all()
    assert gap(liquid, n, ln_s, kind) < 1e-9 * n.sum(), gap(liquid, n, ln_s, kind)
    assert np.abs(liquid - l).max() < 1e-3 * n.sum(), "the two solutions differ"
    return liquid


def put(values, where):
    out = np.zeros(len(where))
    out[where] = values
    return out


def build(seed):
    rng = np.random.default_rng(seed)
    out = []
    while len(out) < MIXTURES:
        n, m, tm, dh, kind, t_c = draw(rng)
        t = t_c + zero_Celsius
        ln_s = -dh * 1e3 / R * (1 / t - 1 / (tm + zero_Celsius))
        liquid = least(n, ln_s, kind)
        if liquid is None:
            continue
        out.append({
            "t_c": t_c,
            "parts": [
                [float(a), float(b), float(c), float(d), int(g)]
                for a, b, c, d, g in zip(n, m, tm, dh, kind)
            ],
            "liquid": [float(v) for v in liquid],
            "solid_percent": float(100 * ((n - liquid) * m).sum() / (n * m).sum()),
        })  # fmt: skip
    return out
