#!/usr/bin/env python3
"""Makes reference.json and setting.json: figures to compare Quern with, from other people's code.

    python -m venv venv && venv/bin/pip install -r requirements.txt
    venv/bin/python reference.py            # writes both files
    venv/bin/python reference.py --check    # compares them with a fresh calculation


What comes from where:

* sieve openings and lognormal statistics: fluids (ASTM E11 and ISO 3310-1 tables, PSDLognormal);
* two-mode mixtures: numerical integration with numpy over the logarithm of size;
* the normal distribution: scipy.stats.norm;
* molar masses, melting points, heats of fusion, densities: chemicals (CRC Handbook tables, Perry,
  VDI, IAPWS-95);
* eutectics and liquidus: scipy.optimize.brentq on the Schroeder-van Laar equation; two-component
  eutectics are confirmed by minimising the liquidus over the composition (minimize_scalar);
* random fat phases: the Gibbs energy minimised under bounds (L-BFGS-B), polished with fsolve;
* exfoliants: see exfoliants.py;
* mixed crystals at the least Gibbs energy: see least_energy.py; pouring and cooling: see setting.py.
"""

import json
import math
import sys
from pathlib import Path

import chemicals
import fluids
import numpy as np
import scipy
from chemicals import volume
from chemicals.dippr import EQ105
from fluids.particle_size_distribution import (
    ASTM_E11_sieves,
    ISO_3310_1_sieves,
    PSDLognormal,
)
from scipy.constants import R, zero_Celsius
from scipy.optimize import brentq, fsolve, minimize, minimize_scalar
from scipy.stats import norm

sys.dont_write_bytecode = True
import least_energy
import setting
from exfoliants import SEED, grit, programs, scores, sieve_tables, spread

HERE = Path(__file__).parent


def sieves():
    """Numbered sieves of ASTM E11 up to No. 4, and ISO 3310-1 up to 1.25 mm, coarsest first, um."""
    um = lambda s: round(s.opening * 1e6, 6)
    numbered = [
        (s.old_designation.removeprefix("No. "), um(s))
        for s in ASTM_E11_sieves.values()
        if s.old_designation and s.old_designation.startswith("No. ") and um(s) <= 4750
    ]
    iso = sorted((um(s) for s in ISO_3310_1_sieves.values() if um(s) <= 1250), reverse=True)
    return {"astm_e11": sorted(numbered, key=lambda s: -s[1]), "iso_3310_1_um": iso}


PAIRS = [
    (300, 0.4), (299, 0.313), (120, 0.40), (316, 0.28), (350, 0.35), (500, 0.35),
    (1100, 0.12), (354, 0.21), (60, 0.50), (250, 0.55), (45, 0.90), (150, 1.2),
]  # fmt: skip


def lognormal():
    rows = []
    for d50, sigma in PAIRS:
        psd = PSDLognormal(d_characteristic=d50 * 1e-6, s=sigma, order=3)
        um = lambda metres: float(metres) * 1e6
        d10, mid, d90 = (um(psd.dn(p)) for p in (0.1, 0.5, 0.9))
        rows.append({
            "d50_um": d50, "sigma": sigma, "d10": d10, "d50": mid, "d90": d90,
            "span": (d90 - d10) / mid,
            "d32": um(psd.mean_size(3, 2)), "d43": um(psd.mean_size(4, 3)),
            "d1_0": um(psd.mean_size(1, 0)), "d3_0": um(psd.mean_size(3, 0)),
            "below": [
                (d50 * ratio, float(psd.cdf(d50 * ratio * 1e-6)))
                for ratio in (0.4, 0.7, 1.0, 1.3, 2.0, 3.5)
            ],
        })  # fmt: skip
    return rows


# Share of the blend's mass, d50, sigma, density.
MIXES = [
    [(0.6, 300, 0.4, 1.35), (0.4, 700, 0.3, 1.30)],
    [(0.5, 354, 0.21, 0.90), (0.5, 400, 0.30, 2.165)],
    [(0.8, 120, 0.40, 1.35), (0.2, 1100, 0.12, 1.25)],
]


def mixes():
    out = []
    for kinds in MIXES:
        low = min(math.log(d) - 14 * s for _, d, s, _ in kinds)
        high = max(math.log(d) + 14 * s for _, d, s, _ in kinds)
        x = np.linspace(low, high, 40_001)
        um = np.exp(x)
        density = {
            i: norm.pdf((x - math.log(d)) / s) / s for i, (_, d, s, _) in enumerate(kinds)
        }
        over = lambda y: float(np.trapezoid(y, x))
        volume_density = sum(w / rho * density[i] for i, (w, _, _, rho) in enumerate(kinds))
        share = lambda t: sum(w * norm.cdf((t - math.log(d)) / s) for w, d, s, _ in kinds)
        quantile = lambda p: math.exp(
            brentq(lambda t: share(t) - p, low, high, xtol=1e-14, rtol=8.9e-16)
        )
        grams = sum(w for w, *_ in kinds)
        out.append({
            "kinds": [
                {"share": w, "d50_um": d, "sigma": s, "density": rho} for w, d, s, rho in kinds
            ],
            "d10": quantile(0.1), "d50": quantile(0.5), "d90": quantile(0.9),
            "d32": over(volume_density) / over(volume_density / um),
            "d43": over(volume_density * um) / over(volume_density),
            "above_500": 1 - share(math.log(500)),
            # Volume in cm3 per gram over the volume of a sphere of each size.
            "grains_per_gram": over(volume_density / (math.pi / 6 * (um * 1e-4) ** 3)) / grams,
        })  # fmt: skip
    return out


def normal():
    ps = [1e-9, 1e-6, 1e-4, 0.001, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25,
          0.4, 0.5, 0.6, 0.75, 0.9, 0.95, 0.99, 0.999, 0.9999, 0.999999]  # fmt: skip
    zs = [-6.0, -5.0, -4.0, -3.0, -2.5, -2.0, -1.5, -1.0, -0.5, -0.1,
          0.0, 0.1, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0]  # fmt: skip
    return {
        "quantile": [(p, float(norm.ppf(p))) for p in ps],
        "cdf": [(z, float(norm.cdf(z))) for z in zs],
    }


CAS = {
    "Caprylic acid": "124-07-2", "Capric acid": "334-48-5", "Lauric acid": "143-07-7",
    "Myristic acid": "544-63-8", "Palmitic acid": "57-10-3", "Stearic acid": "57-11-4",
    "Cetyl alcohol": "36653-82-4", "Stearyl alcohol": "112-92-5",
    "Behenic acid": "112-85-6", "Lauryl alcohol": "112-53-8", "Myristyl alcohol": "112-72-1",
    "Behenyl alcohol": "661-19-8", "12-Hydroxystearic acid": "106-14-9",
}  # fmt: skip


def heat(cas):
    """kJ/mol, where the handbook has one."""
    joules = chemicals.Hfus(cas, method="CRC") if "CRC" in chemicals.Hfus_methods(cas) else None
    return None if joules is None else joules / 1e3


def pure():
    """CRC Handbook data as stored in chemicals; C, kJ/mol, g/mol."""
    return {
        name: {
            "cas": cas,
            "m": chemicals.MW(cas),
            "tm_c": round(chemicals.Tm(cas, method="CRC_ORG") - zero_Celsius, 6),
            "dh_kj_mol": heat(cas),
        }
        for name, cas in CAS.items()
    }


def saturation(part, t):
    """Schroeder-van Laar, heat capacities neglected; above the melting point nothing is solid."""
    tm = part["tm_c"] + zero_Celsius
    return math.inf if t >= tm else math.exp(-part["dh_kj_mol"] * 1e3 / R * (1 / t - 1 / tm))


def temperature(part, x):
    """Where a component of mole fraction x begins to crystallise, K, by root finding."""
    tm = part["tm_c"] + zero_Celsius
    slope = part["dh_kj_mol"] * 1e3 / R
    f = lambda t: math.log(x) + slope * (1 / t - 1 / tm)
    return brentq(f, 50.0, tm, xtol=1e-12, rtol=8.9e-16) if x < 1 else tm


SYSTEMS = [
    ("Lauric acid", "Myristic acid"), ("Lauric acid", "Palmitic acid"),
    ("Lauric acid", "Stearic acid"), ("Myristic acid", "Palmitic acid"),
    ("Myristic acid", "Stearic acid"), ("Palmitic acid", "Stearic acid"),
    ("Capric acid", "Lauric acid", "Myristic acid"),
    ("Myristic acid", "Palmitic acid", "Stearic acid"),
]  # fmt: skip


def melts(data):
    eutectics, liquidus = [], []
    for names in SYSTEMS:
        parts = [data[n] for n in names]
        coldest = min(p["tm_c"] for p in parts) + zero_Celsius - 1e-9
        t = brentq(
            lambda t: sum(saturation(p, t) for p in parts) - 1,
            150.0, coldest, xtol=1e-12, rtol=8.9e-16,
        )  # fmt: skip
        x = [saturation(p, t) for p in parts]
        if len(parts) == 2:
            lowest = minimize_scalar(
                lambda x: max(temperature(parts[0], x), temperature(parts[1], 1 - x)),
                bounds=(1e-6, 1 - 1e-6), method="bounded", options={"xatol": 1e-12},
            )  # fmt: skip
            assert abs(lowest.fun - t) < 1e-4, (names, lowest.fun, t)
        mass = [xi * p["m"] for xi, p in zip(x, parts)]
        heat = sum(xi * p["dh_kj_mol"] * 1e3 for xi, p in zip(x, parts)) / sum(mass)
        eutectics.append({
            "parts": names, "tm_c": t - zero_Celsius, "x": x,
            "mass_percent": [100 * m / sum(mass) for m in mass], "heat_j_g": heat,
        })  # fmt: skip
        for first in (0.05, 0.3, 0.5, 0.8):
            rest = (1 - first) / (len(parts) - 1)
            grams = [100 * first] + [100 * rest] * (len(parts) - 1)
            moles = [g / p["m"] for g, p in zip(grams, parts)]
            top = max(temperature(p, n / sum(moles)) for n, p in zip(moles, parts))
            liquidus.append({"parts": names, "grams": grams, "liquidus_c": top - zero_Celsius})
    return eutectics, liquidus


def gibbs():
    """Random fat phases of six components: liquid moles at the least Gibbs energy.

    Over RT and apart from constants, G = sum l_i (ln(l_i / L) - ln s_i), with s_i continued above
    the melting point: there it exceeds 1 and makes any solid dearer than the melt.
    """
    rng = np.random.default_rng(SEED)
    out = []
    while len(out) < 5:
        n = np.round(rng.uniform(0.05, 1.0, 6), 4)
        m = np.round(rng.uniform(140, 900, 6), 2)
        tm = np.round(rng.uniform(20, 80, 6), 2)
        dh = np.round(0.2 * m * rng.uniform(0.8, 1.2, 6), 2)
        t_c = round(float(rng.uniform(15, 60)), 2)
        t = t_c + zero_Celsius
        ln_s = -dh * 1e3 / R * (1 / t - 1 / (tm + zero_Celsius))

        def energy(l):
            l = np.maximum(l, 1e-300)
            mu = np.log(l / l.sum()) - ln_s
            return float((l * mu).sum()), mu

        best = minimize(
            energy, 0.9 * n, jac=True, method="L-BFGS-B", bounds=[(1e-9, ni) for ni in n],
            options={"maxiter": 5000, "ftol": 1e-15, "gtol": 1e-10},
        )  # fmt: skip
        free = best.x < n * (1 - 1e-5)
        if best.x.sum() < 1e-3 * n.sum() or not free.any() or free.all():
            continue  # all solid or all melted: nothing to compare

        def stationary(u):
            l = n.copy()
            l[free] = np.exp(u)
            return u - math.log(l.sum()) - ln_s[free]

        u, _, ok, _ = fsolve(stationary, np.log(best.x[free]), xtol=1e-14, full_output=True)
        liquid = n.copy()
        liquid[free] = np.exp(u)
        assert np.abs(stationary(u)).max() < 1e-12, ok
        # Both conditions of a constrained minimum: nothing over-dissolved, nothing left to melt.
        assert (liquid <= n * (1 + 1e-12)).all()
        assert (energy(liquid)[1][~free] <= 1e-12).all()
        assert np.abs(liquid - best.x).max() < 1e-5, "the two solutions differ"
        out.append({
            "t_c": t_c,
            "parts": [
                {"moles": float(a), "m": float(b), "tm_c": float(c), "dh_kj_mol": float(d)}
                for a, b, c, d in zip(n, m, tm, dh)
            ],
            "liquid": [float(v) for v in liquid],
            "solid_percent": float(100 * ((n - liquid) * m).sum() / (n * m).sum()),
        })  # fmt: skip
    return out


def densities():
    """g/mL. Solids by CRC Handbook molar volumes, liquids at 20 C by Perry's or the VDI
    correlation, water at 25 C by IAPWS-95."""
    volume._load_rho_data()
    crc = volume.rho_data_CRC_inorg_s_const
    solids = {
        "Sodium chloride": "7647-14-5", "Sodium bicarbonate": "144-55-8",
        "Zinc oxide": "1314-13-2", "Sodium hydroxide": "1310-73-2",
        "Potassium hydroxide": "1310-58-3", "Magnesium sulfate heptahydrate": "10034-99-8",
        "Iron(III) oxide": "1309-37-1",
    }  # fmt: skip
    out = {
        name: chemicals.MW(cas) / float(crc.loc[cas]["Vm"]) * 1e-6 for name, cas in solids.items()
    }
    perry = volume.rho_data_Perry_8E_105_l
    for name, cas in {"Propylene glycol": "57-55-6"}.items():
        row = perry.loc[cas]
        moles = EQ105(293.15, row["C1"], row["C2"], row["C3"], row["C4"])
        out[name] = float(moles) * chemicals.MW(cas) * 1e-6
    row = volume.rho_data_VDI_PPDS_2.loc["56-81-5"]
    tau = 1 - 293.15 / row["Tc"]
    series = zip("ABCD", (0.35, 2 / 3, 1.0, 4 / 3))
    out["Glycerol"] = float(row["rhoc"] + sum(row[k] * tau**e for k, e in series)) * 1e-3
    out["Water, 25 C"] = chemicals.iapws95_rho(298.15, 101325.0) * 1e-3
    return out


def tidy(value):
    """Twelve significant digits: more than anything here deserves, fewer than machines differ in."""
    if isinstance(value, dict):
        return {k: tidy(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [tidy(v) for v in value]
    return float(f"{value:.12g}") if isinstance(value, float) else value


MADE_WITH = {m.__name__: m.__version__ for m in (chemicals, fluids, np, scipy)}


def build():
    data = pure()
    eutectics, liquidus = melts(data)
    return tidy({
        "made_with": MADE_WITH,
        "sieves": sieves(), "lognormal": lognormal(), "mixes": mixes(), "normal": normal(),
        "pure": data, "eutectics": eutectics, "liquidus": liquidus, "gibbs": gibbs(),
        "densities": densities(), "grit": grit(), "spread": spread(),
        "sieve_tables": sieve_tables(), "scores": scores(), "programs": programs(),
    })  # fmt: skip


def build_setting():
    return tidy({"made_with": MADE_WITH, "gibbs": least_energy.build(SEED), **setting.build()})


# Relative tolerance of a check: solvers of differential equations choose steps by their errors, so
# that the last digit of a processor's arithmetic moves more than the last digit of their answer.
FILES = {"reference.json": (build, 1e-9), "setting.json": (build_setting, 1e-5)}


def differences(old, new, relative, place):
    number = lambda v: isinstance(v, (int, float)) and not isinstance(v, bool)
    if number(old) and number(new):
        if abs(old - new) > relative * max(abs(old), abs(new)):
            yield f"{place}: {old} in the file, {new} calculated"
    elif isinstance(old, dict) and isinstance(new, dict):
        for key in sorted(set(old) | set(new)):
            if key not in old or key not in new:
                yield f"{place}/{key}: only {'calculated' if key in new else 'in the file'}"
            else:
                yield from differences(old[key], new[key], relative, f"{place}/{key}")
    elif isinstance(old, list) and isinstance(new, list):
        if len(old) != len(new):
            yield f"{place}: {len(old)} entries in the file, {len(new)} calculated"
        for i, (a, b) in enumerate(zip(old, new)):
            yield from differences(a, b, relative, f"{place}/{i}")
    elif old != new:
        yield f"{place}: {old!r} in the file, {new!r} calculated"


def main(arguments):
    if arguments not in ([], ["--check"]):
        print("usage: reference.py [--check]", file=sys.stderr)
        return 2
    stale = False
    for name, (make, relative) in FILES.items():
        file, fresh = HERE / name, make()
        if arguments:
            old = json.loads(file.read_text("utf-8"))
            found = list(differences(old, json.loads(json.dumps(fresh)), relative, name))
            print("\n".join(found) if found else f"{name} is up to date")
            stale |= bool(found)
        else:
            text = ",\n".join(
                f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in fresh.items()
            )
            file.write_text("{\n" + text + "\n}\n", "utf-8")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
