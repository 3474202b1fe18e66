"""The limits of a slot die for a million settings in numpy, beside the program's own batch call.

The same equations as crates/physics (eqs 3.1 to 3.11 and 5.1 of docs/methods.md) on whole arrays and on slices that fit
the cache; the same settings, from splitmix64 by counter (crates/physics/benches/limits/case.rs). One thread each.

    python3 twin.py                            one JSON line a case
    python3 twin.py --ours EXAMPLE [--rounds 5]
        runs the example `limits_at_speed` in turn with this file, compares every margin of every setting to 1e-12 and
        prints the ratios of the shortest times
"""
import argparse
import json
import os
import subprocess
import sys
import tempfile
import time

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

import numpy as np  # noqa: E402

N = 1_000_000
SEED = 51
SLICE = 8192

WIDTH, SIGMA, RHO, MU = 0.1, 28e-3, 980.0, 12e-3
CONSISTENCY, INDEX = 0.2, 0.7
L_D, L_U, RATIO = 1e-3, 0.8e-3, 1.1
THETA_LIP, THETA_FOIL, CORNER = np.radians(30.0), np.radians(20.0), np.radians(90.0)
SLOT, PARTICLE = 150e-6, 20e-6
SPEED_SPAN = (0.2 / 60.0, 5.0 / 60.0)
GAP_SPAN = (40e-6, 300e-6)
FLOW_SPAN = (0.2e-6 / 60.0, 20e-6 / 60.0)
G = 9.80665

NAMES = ["low_flow", "bead_hold", "flood", "wetting_failure", "particle", "speed_span", "gap_span", "pump_range",
         "lip_wetting", "gap_fill", "air_entrainment", "recirculation", "feed_slot"]
N_HARD = 8


def uniform(seed, n, start=0):
    """Numbers from 0 to 1 by splitmix64, by counter."""
    with np.errstate(over="ignore"):
        z = np.uint64(seed) + np.arange(start + 1, start + n + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        z = z ^ (z >> np.uint64(31))
    return (z >> np.uint64(11)).astype(np.float64) * 2.0 ** -53


def settings(n):
    """Speed, flow, gap and vacuum in SI."""
    u = uniform(SEED, 4 * n).reshape(4, n)
    span = [(0.3 / 60.0, 6.0 / 60.0), (2e-6, 60e-6), (50e-6, 400e-6), (0.0, 500.0)]
    speed, wet, gap, vacuum = (low + (high - low) * x for (low, high), x in zip(span, u))
    return speed, wet * WIDTH * speed, gap, vacuum


def at_most(value, bound):
    return np.clip(1.0 - value / bound, -10.0, 1.0)


def at_least(value, bound):
    return np.clip(1.0 - bound / value, -10.0, 1.0)


def within(value, span):
    return np.minimum(at_least(value, span[0]), at_most(value, span[1]))


def root(a, b, big_b, gap):
    """Positive root of a/t + b(1 - 2t/H) + e = vacuum with big_b = b + e - vacuum, without cancellation."""
    s = np.sqrt(big_b * big_b + 8.0 * a * b / gap)
    above = big_b > 0.0
    return np.where(above, gap * (big_b + s), 2.0 * a) / np.where(above, 4.0 * b, s - big_b)


def margins(speed, flow, gap, vacuum, power_law=False, soft=True):
    t = flow / (speed * WIDTH)
    if power_law:
        mu_gap = CONSISTENCY * (speed / gap) ** (INDEX - 1.0)
        mu_film = CONSISTENCY * (speed / t) ** (INDEX - 1.0)
    else:
        mu_gap = mu_film = MU
    ca = mu_film * speed / SIGMA
    two_thirds = ca ** (2.0 / 3.0)
    cos_foil = np.cos(THETA_FOIL)
    dynamic = np.clip(cos_foil - (1.0 + cos_foil) * np.tanh(4.96 * ca ** 0.702), -1.0, 1.0)
    gap_u = RATIO * gap
    suction = 1.34 * two_thirds
    a = suction * SIGMA
    drag = mu_gap * speed
    b = 6.0 * drag * L_D / (gap * gap)
    g_u = 6.0 * drag * L_U / (gap_u * gap_u)
    at_edge = -SIGMA * (dynamic + np.cos(min(THETA_LIP + np.pi - CORNER, np.pi))) / gap_u
    base = b - vacuum
    t_min = np.minimum(gap * suction / (suction + 2.0), 0.65 * gap)
    t_hold = root(a, b, base - SIGMA * (dynamic + np.cos(THETA_LIP)) / gap_u, gap)
    t_flood = root(a, b, base + (g_u + np.maximum(at_edge, 0.0)), gap)
    entrained = np.maximum(0.67679 * (100.0 * mu_gap * np.sqrt(G / (RHO * SIGMA))) ** -0.67, 0.095)
    found = [
        at_least(t, t_min),
        at_least(t, t_hold),
        at_most(t, t_flood),
        at_most(speed, 5.0 * entrained),
        at_most(PARTICLE, np.minimum(gap, SLOT) / 3.0),
        within(speed, SPEED_SPAN),
        within(gap, GAP_SPAN),
        within(flow, FLOW_SPAN),
    ]
    if soft:
        found += [
            at_most(t, root(a, b, base + (g_u + at_edge), gap)),
            at_most(t, gap),
            at_most(speed, entrained),
            at_least(t, gap / 3.0),
            at_most(SLOT, 5.0 * t),
        ]
    return found


def worst(found):
    """Least margin and the place of its limit."""
    least = found[0].copy()
    place = np.zeros(least.shape, np.uint8)
    for i, margin in enumerate(found[1:], 1):
        less = margin < least
        np.copyto(least, margin, where=less)
        place[less] = i
    return least, place


def binding(z, power_law=False):
    return worst(margins(*z, power_law=power_law, soft=False))


def binding_in_slices(z, power_law=False):
    least, place = np.empty(len(z[0])), np.empty(len(z[0]), np.uint8)
    for i in range(0, len(least), SLICE):
        part = slice(i, i + SLICE)
        least[part], place[part] = binding([x[part] for x in z], power_law)
    return least, place


def margins_in_slices(z):
    found = np.empty((len(NAMES), len(z[0])))
    for i in range(0, found.shape[1], SLICE):
        part = slice(i, i + SLICE)
        for row, margin in zip(found, margins(*[x[part] for x in z])):
            row[part] = margin
    return found


def shortest(run, repeats):
    best, result = float("inf"), None
    for _ in range(repeats):
        start = time.perf_counter()
        result = run()
        best = min(best, time.perf_counter() - start)
    return best, result


def report(case, how, seconds, least):
    print(json.dumps({"item": "5", "case": case, "impl": how, "seconds": seconds, "threads": 1,
                      "quality": {"n": len(least), "feasible": int((least >= 0.0).sum()), "sum": float(least.sum())},
                      "ns_per_setting": 1e9 * seconds / len(least), "numpy": np.__version__}), flush=True)


def run(repeats, only):
    z = settings(N)
    for power_law, case in ((False, "limits-binding-1e6"), (True, "limits-binding-power-law-1e6")):
        if only not in (None, case):
            continue
        for how, of in (("numpy-whole", binding), ("numpy-slices", binding_in_slices)):
            seconds, (least, _) = shortest(lambda of=of, p=power_law: of(z, p), repeats)
            report(case, how, seconds, least)
    if only not in (None, "limits-13-margins-1e6"):
        return
    for how, of in (("numpy-whole", lambda z: margins(*z)), ("numpy-slices", margins_in_slices)):
        seconds, found = shortest(lambda of=of: of(z), repeats)
        report("limits-13-margins-1e6", how, seconds, np.minimum.reduce(list(found) + [np.ones(N)]))


def lines(command):
    out = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return [json.loads(line) for line in out.splitlines() if line.startswith("{")]


def compare(ours, rounds):
    """Runs both in turn, compares every margin, prints ratios of the shortest times."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "margins.bin")
        names = [line for line in lines([ours, "--repeats", "1", "--margins", path]) if "names" in line][0]["names"]
        theirs = margins(*settings(N))
        found = np.fromfile(path).reshape(len(names), N)
        apart = {name: float(np.abs(found[i] - theirs[NAMES.index(name)]).max()) for i, name in enumerate(names)}
    print(json.dumps({"case": "margins", "greatest_difference": apart}))
    if max(apart.values()) > 1e-12:
        sys.exit("the margins differ by more than 1e-12")
    times, checks = {}, {}
    for _ in range(rounds):
        for command in ([ours, "--repeats", "3"], [sys.executable, __file__, "--repeats", "3"]):
            for line in lines(command):
                times.setdefault(line["case"], {}).setdefault(line["impl"], []).append(line["seconds"])
                checks.setdefault(line["case"], set()).add(line["quality"]["feasible"])
    for case, by in times.items():
        best = {how: min(seconds) for how, seconds in by.items()}
        ratios = {how: round(seconds / best["wetlane"], 2) for how, seconds in best.items() if how != "wetlane"}
        print(json.dumps({"case": case, "seconds": best, "times_as_fast_as": ratios,
                          "same_count": len(checks[case]) == 1}))


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--ours")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--repeats", type=int, default=7)
    parser.add_argument("--only")
    arguments = parser.parse_args()
    if arguments.ours:
        compare(arguments.ours, arguments.rounds)
    else:
        run(arguments.repeats, arguments.only)
