#!/usr/bin/env python3
"""Second implementation of the slot-die window and of the drying march; writes reference_margins.csv beside itself.

Standard library only, Python 3.9 or newer:  python3 reference_margins.py

It is written from the equations (docs/methods.md), not from the Rust code, and takes another way wherever there is one:
film thicknesses at a pressure limit are found by bisecting the pressure, the evaporation flux is assembled from
density, conductivity, diffusivity and Lewis number at each temperature, and every power is a plain power.  What must be
equal for numbers to be comparable is equal: 200 steps a zone, one Newton step each with a difference of 0.5 K, 16 halvings
of the logarithm of speed between 1e-4 and 2 m/s, and the numerical guards.

Rows are drawn by splitmix64 from a fixed seed; all inks, foils and lines are invented.
"""
import math
import os

R, P, G0 = 8.314462618, 101325.0, 9.80665
CELSIUS = 273.15

# formula (C, H, O, N, rings), density 25 C, critical K, Antoine a b c, heat of vaporization J/kg, boiling C
SOLVENTS = {
    "water": ((0, 2, 1, 0, 0), 997.0, 647.1, 10.11564, 1687.537, -42.980, 2442e3, 100.0),
    "ethanol": ((2, 6, 1, 0, 0), 785.0, 514.7, 10.33675, 1648.220, -42.232, 919e3, 78.4),
    "toluene": ((7, 8, 0, 0, 1), 862.0, 591.8, 9.05043, 1327.620, -55.525, 413e3, 110.6),
    "ethyl_acetate": ((4, 8, 2, 0, 0), 894.0, 523.3, 9.13361, 1195.130, -60.680, 404e3, 77.1),
    "n_methyl_2_pyrrolidone": ((5, 9, 1, 1, 1), 1028.0, 721.8, 9.18001, 1655.290, -80.355, 550e3, 204.0),
}
MASS, VOLUME = (12.011, 1.008, 15.999, 14.007, 0.0), (15.9, 2.31, 6.11, 4.54, -18.3)
# at 60 C: density, viscosity, conductivity, heat capacity, molar mass, diffusion volume
GASES = {
    "air": (1.0596, 20.099e-6, 0.02880, 1008.0, 28.965, 19.7),
    "nitrogen": (1.0247, 19.383e-6, 0.02832, 1041.8, 28.014, 18.5),
    "argon": (1.4618, 24.793e-6, 0.01945, 521.3, 39.948, 16.2),
}
FOILS = {"pet": (1390.0, 1170.0), "aluminium": (2700.0, 900.0), "polyimide": (1420.0, 1090.0)}


class Draws:
    """splitmix64 (Steele, Lea & Flood 2014)"""

    def __init__(self, seed):
        self.state = seed

    def unit(self):
        mask = (1 << 64) - 1
        self.state = (self.state + 0x9E3779B97F4A7C15) & mask
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
        return ((z ^ (z >> 31)) >> 11) / (1 << 53)

    def uniform(self, low, high, digits=4):
        return float("%.*g" % (digits, low + (high - low) * self.unit()))

    def log(self, low, high, digits=4):
        return float("%.*g" % (digits, low * (high / low) ** self.unit()))

    def pick(self, items):
        return items[min(len(items) - 1, int(self.unit() * len(items)))]


# ---------------------------------------------------------------- the head
def clip(m):
    return max(-10.0, min(1.0, m))


def lower(value, least):
    return clip(1.0 - least / value)


def upper(value, greatest):
    return clip(1.0 - value / greatest)


def viscosity(row, rate):
    return row["consistency_pa_s"] * rate ** (row["index"] - 1.0)


def foil_angle(row):
    """static angle [rad] for the bead and for wetting"""
    if row["angle_on_foil_deg"] is not None:
        theta = math.radians(row["angle_on_foil_deg"])
        return theta, theta
    cosine = 2.0 * math.sqrt(row["foil_energy_n_per_m"] / row["surface_tension_n_per_m"]) - 1.0
    theta = math.acos(max(-1.0, min(1.0, cosine)))
    return max(theta, math.radians(10.0)), theta


def window(row, gap, upstream_gap):
    u, t, sigma = row["speed_m_per_s"], row["wet_m"], row["surface_tension_n_per_m"]
    mu_gap, mu_film = viscosity(row, u / gap), viscosity(row, u / t)
    ca = mu_film * u / sigma
    static, _ = foil_angle(row)
    cos_d = math.cos(static) - (1.0 + math.cos(static)) * math.tanh(4.96 * ca**0.702)
    cos_d = max(-1.0, min(1.0, cos_d))
    lip = math.radians(row["angle_on_lip_deg"])
    edge = min(math.pi, lip + math.pi - math.radians(row["lip_corner_deg"]))
    drag_up = 6.0 * mu_gap * u / upstream_gap**2 * row["upstream_lip_m"]

    def demand(x, rest):
        film = 1.34 * ca ** (2.0 / 3.0) * sigma / x
        return film + 6.0 * mu_gap * u * row["downstream_lip_m"] / gap**2 * (1.0 - 2.0 * x / gap) + rest

    def root(rest):
        low, high = 1e-15, 1.0
        for _ in range(400):
            middle = math.sqrt(low * high) if high > 2.0 * low else 0.5 * (low + high)
            if demand(middle, rest) > row["vacuum_pa"]:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    at_edge = -sigma * (cos_d + math.cos(edge)) / upstream_gap
    hold = root(-sigma * (cos_d + math.cos(lip)) / upstream_gap)
    shoulder = root(drag_up + at_edge)
    flood = root(drag_up + max(0.0, at_edge))
    t_min = min(gap / (1.0 + 2.0 / (1.34 * ca ** (2.0 / 3.0))), 0.65 * gap)
    group = 100.0 * mu_gap * math.sqrt(G0 / (row["density_kg_per_m3"] * sigma))
    entrain = max(0.67679 * group**-0.67, 0.095)
    return {
        "low_flow": lower(t, t_min),
        "bead_hold": lower(t, hold),
        "flood": upper(t, flood),
        "lip_wetting": upper(t, shoulder),
        "gap_fill": upper(t, gap),
        "air_entrainment": upper(u, entrain),
        "wetting_failure": upper(u, 5.0 * entrain),
        "recirculation": lower(t, gap / 3.0),
        "ca_range": upper(ca, 0.1),
        "re_gap": upper(row["density_kg_per_m3"] * u * gap / mu_gap, 10.0),
    }


def head_margins(row):
    gap, ratio = row["gap_m"], row["upstream_gap_ratio"]
    result = window(row, gap, ratio * gap)
    worst = 1.0
    for change in (-5e-6, 5e-6):
        moved = window(row, gap + change, ratio * gap + change)
        worst = min(worst, *(moved[k] for k in ("low_flow", "bead_hold", "flood", "wetting_failure")))
    result["gap_tolerance"] = worst
    result["surface_energy_min"] = upper(foil_angle(row)[1], math.radians(60.0))
    result["wetting_angle"] = upper(foil_angle(row)[1], math.radians(30.0))
    return result


# ---------------------------------------------------------------- drying
def molar_mass(solvent):
    return sum(n * m for n, m in zip(SOLVENTS[solvent][0], MASS)) * 1e-3


def diffusion_volume(solvent):
    return 13.1 if solvent == "water" else sum(n * v for n, v in zip(SOLVENTS[solvent][0], VOLUME))


def saturation(solvent, kelvin):
    _, _, _, a, b, c, _, _ = SOLVENTS[solvent]
    return 10.0 ** (a - b / (kelvin + c))


def latent(solvent, kelvin):
    _, _, critical, _, _, _, heat, _ = SOLVENTS[solvent]
    return heat * max(1e-3, (1.0 - kelvin / critical) / (1.0 - 298.15 / critical)) ** 0.38


class Zone:
    def __init__(self, length, gas, kelvin, h_top, h_bottom, h_contact, roller, fed_vapor, load):
        self.length, self.gas, self.kelvin = length, gas, kelvin
        self.h_top, self.h_bottom, self.h_contact, self.roller = h_top, h_bottom, h_contact, roller
        self.fed_vapor, self.load = fed_vapor, load

    def vapor(self, speed):
        x = self.load * speed
        return P * min(0.99, (self.fed_vapor / P + x) / (1.0 + x))

    def flux(self, solvent, film, activity, vapor):
        if self.h_top <= 0.0:
            return 0.0
        hottest = max(self.kelvin, self.roller) if self.h_contact > 0.0 else self.kelvin
        film = max(230.0, min(film, hottest + 60.0))
        mean = 0.5 * (film + self.kelvin)
        density, _, conductivity, heat, gas_mass, gas_volume = GASES[self.gas]
        x = mean / 333.15
        density, conductivity = density / x, conductivity * x**0.7
        mass = molar_mass(solvent)
        pair = 2.0 / (1.0 / (1e3 * mass) + 1.0 / gas_mass)
        volumes = (diffusion_volume(solvent) ** (1.0 / 3.0) + gas_volume ** (1.0 / 3.0)) ** 2
        diffusivity = 1e-4 * 0.00143 * mean**1.75 / (P / 1e5 * math.sqrt(pair) * volumes)
        lewis = conductivity / (density * heat * diffusivity)
        transfer = self.h_top / (density * heat * lewis ** (2.0 / 3.0))
        surface = min(activity * saturation(solvent, film), 0.999 * P)
        return max(0.0, mass * transfer * P / (R * mean) * math.log((P - vapor) / (P - surface)))


def zones_of(row):
    room = row["room_c"] + CELSIUS
    humid = row["humidity"] * saturation("water", room) if row["solvent"] == "water" else 0.0
    path_h = row["open_path_h"]
    zones = [Zone(row["open_path_m"], "air", room, path_h, path_h, 0.0, 0.0, humid, 0.0)]
    if row["roller_c"] is not None:
        wrapped = 0.5 * row["roller_diameter_m"] * math.radians(row["roller_wrap_deg"])
        roller = row["roller_c"] + CELSIUS
        zones.append(Zone(wrapped, "air", room, path_h, 0.0, row["roller_contact"], roller, humid, 0.0))
    load = 0.0
    if row["fresh_gas_m3_per_h"] is not None:
        moles = row["wet_m"] * row["density_kg_per_m3"] * (1.0 - row["solids"]) * row["width_m"] / molar_mass(row["solvent"])
        load = moles / (P * row["fresh_gas_m3_per_h"] / 3600.0 / (R * 294.15))
    fed = humid if row["gas"] == "air" else 0.0
    zones.append(
        Zone(row["dryer_m"], row["gas"], row["gas_c"] + CELSIUS, row["dryer_h_top"], row["dryer_h_bottom"], 0.0, 0.0, fed, load)
    )
    return zones


def activity_of(row, liquid, solids):
    if row["activity"] == "free":
        return 1.0
    solvent, polymer = liquid / SOLVENTS[row["solvent"]][1], solids / row["dry_density_kg_per_m3"]
    phi = solvent / (solvent + polymer)
    return phi * math.exp((1.0 - phi) + 0.45 * (1.0 - phi) ** 2)


def march(row, speed):
    """residual per dry mass, hottest film, hottest film while it holds more than 5 %"""
    solvent, mass = row["solvent"], row["wet_m"] * row["density_kg_per_m3"]
    liquid, solids = mass * (1.0 - row["solids"]), mass * row["solids"]
    density, heat = FOILS[row["foil"]]
    foil = row["foil_m"] * density * heat
    film = row["room_c"] + CELSIUS
    hottest = hottest_wet = film
    for zone in zones_of(row):
        dt, vapor = zone.length / speed / 200.0, zone.vapor(speed)
        transfer = zone.h_top + zone.h_bottom + zone.h_contact
        for _ in range(200):
            capacity = foil + solids * 1500.0 + liquid * 2000.0
            loss = slope = 0.0
            if liquid > 0.0:
                a = activity_of(row, liquid, solids)
                m = zone.flux(solvent, film, a, vapor)
                loss = m * latent(solvent, film)
                slope = latent(solvent, film) * max(0.0, (zone.flux(solvent, film + 0.5, a, vapor) - m) / 0.5)
            gain = (zone.h_top + zone.h_bottom) * (zone.kelvin - film) + zone.h_contact * (zone.roller - film)
            film += dt * (gain - loss) / (capacity + dt * (transfer + slope))
            if liquid > 0.0:
                if row["activity"] == "free":
                    liquid = max(0.0, liquid - dt * zone.flux(solvent, film, 1.0, vapor))
                else:
                    low, high = 0.0, liquid
                    for _ in range(30):
                        middle = 0.5 * (low + high)
                        if middle + dt * zone.flux(solvent, film, activity_of(row, middle, solids), vapor) > liquid:
                            high = middle
                        else:
                            low = middle
                    liquid = 0.5 * (low + high)
            hottest = max(hottest, film)
            if liquid / solids > 0.05:
                hottest_wet = max(hottest_wet, film)
    return liquid / solids, hottest, hottest_wet


def dry_speed(row):
    slow, fast = 1e-4, 2.0
    if march(row, slow)[0] > row["residual"]:
        return slow
    if march(row, fast)[0] <= row["residual"]:
        return fast
    for _ in range(16):
        middle = math.sqrt(slow * fast)
        if march(row, middle)[0] <= row["residual"]:
            slow = middle
        else:
            fast = middle
    return slow


def drying_margins(row):
    best = dry_speed(row)
    _, hottest, hottest_wet = march(row, row["speed_m_per_s"])
    bound, room = SOLVENTS[row["solvent"]][7] + CELSIUS - 5.0, row["room_c"] + CELSIUS
    return {
        "dry_speed_m_per_s": best,
        "dry_at_exit": upper(row["speed_m_per_s"], best),
        "blister": clip((bound - hottest_wet) / max(bound - room, 10.0)),
        "hottest_foil_k": hottest,
    }


# ---------------------------------------------------------------- rows
def draw_row(draws, number):
    is_power_law = number % 3 == 2
    solvent = draws.pick(list(SOLVENTS))
    has_roller, is_polymer = number % 4 == 1, number % 15 == 7
    wet = draws.log(3e-6, 120e-6)
    return {
        "consistency_pa_s": draws.log(0.05, 8.0) if is_power_law else draws.log(1e-3, 2.0),
        "index": draws.uniform(0.5, 1.2) if is_power_law else 1.0,
        "surface_tension_n_per_m": draws.uniform(0.022, 0.05),
        "density_kg_per_m3": draws.uniform(800.0, 1700.0),
        "solids": draws.uniform(0.01, 0.6),
        "dry_density_kg_per_m3": draws.uniform(1000.0, 4000.0),
        "activity": "polymer" if is_polymer else "free",
        "solvent": solvent,
        "angle_on_lip_deg": draws.uniform(5.0, 70.0),
        "angle_on_foil_deg": None if number % 5 == 3 else draws.uniform(0.0, 65.0),
        "foil_energy_n_per_m": draws.uniform(0.02, 0.06),
        "foil": draws.pick(list(FOILS)),
        "foil_m": draws.log(15e-6, 150e-6),
        "width_m": draws.uniform(0.05, 0.3),
        "downstream_lip_m": draws.log(0.3e-3, 2e-3),
        "upstream_lip_m": draws.log(0.3e-3, 2e-3),
        "upstream_gap_ratio": draws.uniform(0.8, 1.5),
        "lip_corner_deg": draws.uniform(60.0, 120.0),
        "gap_m": wet * draws.uniform(1.0, 12.0) + 6e-6,
        "vacuum_pa": 0.0 if number % 2 else draws.uniform(0.0, 1500.0),
        "speed_m_per_s": draws.log(0.003, 0.2),
        "wet_m": wet,
        "room_c": draws.uniform(18.0, 28.0),
        "humidity": draws.uniform(0.2, 0.7),
        "open_path_m": draws.uniform(0.1, 1.0),
        "open_path_h": draws.uniform(5.0, 10.0),
        "roller_c": draws.uniform(30.0, 90.0) if has_roller else None,
        "roller_diameter_m": draws.uniform(0.05, 0.2),
        "roller_wrap_deg": draws.uniform(30.0, 200.0),
        "roller_contact": draws.uniform(150.0, 600.0),
        "dryer_m": draws.uniform(0.5, 3.0),
        "dryer_h_top": draws.uniform(15.0, 60.0),
        "dryer_h_bottom": draws.uniform(5.0, 30.0),
        "gas": "air" if number % 3 else draws.pick(list(GASES)),
        "gas_c": draws.uniform(40.0, 140.0),
        "fresh_gas_m3_per_h": draws.uniform(10.0, 60.0) if number % 4 == 2 else None,
        "residual": draws.uniform(0.01, 0.1),
    }


def text(value):
    if value is None:
        return "-"
    return value if isinstance(value, str) else repr(value)


def main():
    draws = Draws(20240607)
    lines, names = [], None
    for number in range(60):
        row = draw_row(draws, number)
        results = {**head_margins(row), **drying_margins(row)}
        whole = {**row, **{"= " + k: v for k, v in results.items()}}
        names = names or list(whole)
        lines.append(";".join(text(whole[n]) for n in names))
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "reference_margins.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write("# Written by reference_margins.py beside this file; inputs in SI where no unit is named, results after '= '.\n")
        file.write(";".join(names) + "\n")
        file.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
