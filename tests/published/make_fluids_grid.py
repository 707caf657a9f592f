#!/usr/bin/env python3
"""Record what python3-fluids says of Beggs & Brill and of Colebrook.

    tests/published/make_fluids_grid.py tests/published

writes fluids_beggs_brill.csv and fluids_colebrook.csv there. Made with
fluids 1.0.22 (MIT, github CalebBell/fluids; Debian 12 python3-fluids); the
states come from a fixed seed, so another run gives the same files.

Left out, because both codes differ there on purpose:
- Reynolds number 1900 to 2100: fluids changes the friction law at 2040, the
  program at 2000;
- holdup above 1, which fluids lets stand;
- y = l / H^2 from 1.2 to 1.2006, where the program joins the two printed
  forms of the friction term without a step;
- corners of the flow map, l = 0.0099 to 0.0102 and 0.3999 to 0.4002.
"""
import csv
import math
import random
import sys

import fluids
from fluids.friction import Colebrook
from fluids.two_phase import Beggs_Brill, _Beggs_Brill_holdup

PER_CLASS = 15
ANGLES = (0, 15, 30, 45, 60, 75, 90)
PATTERNS = ("segregated", "transition", "intermittent", "distributed")
SOURCE = ("fluids %s two_phase.Beggs_Brill with acceleration"
          % fluids.__version__)
COLUMNS = ("v_liquid_ms v_gas_ms rho_liquid_kgm3 rho_gas_kgm3 mu_liquid_pas "
           "mu_gas_pas tension_nm p_pa d_m roughness_m angle_deg pattern "
           "gradient_pam").split()


def pattern_of(l, fr):
    l1, l2 = 316 * l**0.302, 0.0009252 * l**-2.4684
    l3, l4 = 0.1 * l**-1.4516, 0.5 * l**-6.738
    if fr < (l1 if l < 0.01 else l2):
        return 0, 0
    if l >= 0.01 and fr <= l3:
        return 1, (l3 - fr) / (l3 - l2)
    return (2 if fr <= (l1 if l < 0.4 else l4) else 3), 0


def holdup_of(pattern, a, l, fr, angle, lv):
    def one(k):
        return _Beggs_Brill_holdup(k, l, fr, angle, lv)
    return a * one(0) + (1 - a) * one(2) if pattern == 1 else one(pattern)


def state(rng, angle):
    """A random state of a well, or None where the codes differ."""
    vl, vg = 10 ** rng.uniform(-2, 0.7), 10 ** rng.uniform(-1.5, 1.5)
    p = 10 ** rng.uniform(5.7, 7.3)
    rho_l, rho_g = rng.uniform(650, 1100), p * rng.uniform(6e-6, 10e-6)
    mu_l, mu_g = 10 ** rng.uniform(-3.5, -1), rng.uniform(1e-5, 2.5e-5)
    sigma, d = rng.uniform(0.005, 0.06), rng.uniform(0.04, 0.125)
    rough = rng.choice((0.0, 1.5e-5, 4.5e-5, 2e-4))
    vm, g = vl + vg, 9.80665
    l, fr = vl / vm, vm * vm / (g * d)
    reynolds = ((rho_l * l + rho_g * (1 - l)) * vm * d
                / (mu_l * l + mu_g * (1 - l)))
    pattern, a = pattern_of(l, fr)
    h = holdup_of(pattern, a, l, fr, math.radians(angle),
                  vl * (rho_l / (g * sigma)) ** 0.25)
    kinetic = vg * vm * (rho_l * h + rho_g * (1 - h)) / p
    if (1900 < reynolds < 2100 or h > 1 or 1.199 < l / h**2 < 1.201
            or 0.0099 < l < 0.0102 or 0.3999 < l < 0.4002 or kinetic > 0.8):
        return None
    area = math.pi / 4 * d * d
    ml, mg = vl * area * rho_l, vg * area * rho_g
    drop = Beggs_Brill(m=ml + mg, x=mg / (ml + mg), rhol=rho_l, rhog=rho_g,
                       mul=mu_l, mug=mu_g, sigma=sigma, P=p, D=d, angle=angle,
                       roughness=rough, L=1.0, g=g, acceleration=True)
    return [vl, vg, rho_l, rho_g, mu_l, mu_g, sigma, p, d, rough, angle,
            PATTERNS[pattern], drop]


def write(path, columns, rows):
    with open(path, "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(columns)
        out.writerows([repr(c) if isinstance(c, float) else c for c in row]
                      for row in rows)


def main(folder):
    rng = random.Random(1973)
    rows, count = [], {}
    while len(rows) < PER_CLASS * len(ANGLES) * len(PATTERNS):
        angle = rng.choice(ANGLES)
        row = state(rng, angle)
        key = row and (angle, row[11])
        if row and count.get(key, 0) < PER_CLASS:
            count[key] = count.get(key, 0) + 1
            rows.append(row + [SOURCE, "found"])
    write(folder + "/fluids_beggs_brill.csv",
          COLUMNS + ["source", "provenance"], rows)

    source = "fluids %s friction.Colebrook" % fluids.__version__
    rows = [[re, ed, Colebrook(re, ed), source, "found"]
            for re in (2e3, 3e3, 5e3, 1e4, 2e4, 5e4, 1e5, 3e5, 1e6, 1e7, 1e8)
            for ed in (0.0, 1e-6, 1e-5, 5e-5, 1e-4, 3e-4, 1e-3, 3e-3, 1e-2,
                       5e-2)]
    write(folder + "/fluids_colebrook.csv",
          ["reynolds", "relative_roughness", "moody", "source", "provenance"],
          rows)


main(sys.argv[1])
