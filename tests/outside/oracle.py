#!/usr/bin/python3
"""A second, independent solver of one-run layouts, written from the method's equations alone.

It shares no code with the program under test: scipy's PCHIP and brentq, numpy, and the equations
of the method.  The input is a plain dict in SI units (keys end in the unit), the shape of which is
that of a layout file; make_layouts.py writes the dict and the YAML text side by side.

Sources: Colebrook-White and Darcy-Weisbach (any textbook); circular equivalents, Huebscher (1948)
and Heyt and Diaz; Hyland and Wexler saturation pressure as printed in the ASHRAE Handbook,
Fundamentals, psychrometrics chapter (memory); Sutherland's law, US Standard Atmosphere 1976
(memory); fan laws and pressure definitions, AMCA 201 (memory); compression multiplier of flexible
duct, ASHRAE Handbook, Fundamentals, duct design chapter (memory).
"""

import math
from dataclasses import dataclass

import numpy
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

INCH_M = 0.0254
FOOT_M = 0.3048
CFM_M3_S = FOOT_M**3 / 60.0
INCH_WATER_PA = 249.08891
LB_FT3_KG_M3 = 0.45359237 / FOOT_M**3
GRAVITY_M_S2 = 9.80665
STANDARD_DENSITY_KG_M3 = 1.20138
STANDARD_TEMPERATURE_K = 294.261
DRY_AIR_GAS_CONSTANT = 287.042
VAPOUR_TO_DRY_GAS_CONSTANT = 1.607858
FLEX_ROUGHNESS_M = 0.9e-3
GRID_POINTS = 4001


# ---------------------------------------------------------------- air


def saturation_pressure_pa(temperature_k):
    """Saturation pressure over ice below 0 degC, over water above [Pa], Hyland and Wexler."""
    t = temperature_k
    if t < 273.15:
        log_p = (-5.6745359e3 / t + 6.3925247 - 9.6778430e-3 * t + 6.2215701e-7 * t**2
                 + 2.0747825e-9 * t**3 - 9.4840240e-13 * t**4 + 4.1635019 * math.log(t))
    else:
        log_p = (-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t**2
                 - 1.4452093e-8 * t**3 + 6.5459673 * math.log(t))
    return math.exp(log_p)


def atmospheric_pressure_pa(elevation_m):
    """Pressure of the standard atmosphere at an elevation [Pa]."""
    return 101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588


def moist_air_density_kg_m3(temperature_k, relative_humidity, pressure_pa):
    """Density of an ideal mixture of dry air and vapour [kg/m3]; humidity is a fraction."""
    vapour_pa = relative_humidity * saturation_pressure_pa(temperature_k)
    return ((pressure_pa - vapour_pa) + vapour_pa / VAPOUR_TO_DRY_GAS_CONSTANT) / (
        DRY_AIR_GAS_CONSTANT * temperature_k)


def sutherland_viscosity_pa_s(temperature_k):
    """Dynamic viscosity of air [Pa s], Sutherland."""
    return 1.458e-6 * temperature_k**1.5 / (temperature_k + 110.4)


@dataclass(frozen=True)
class Air:
    """What the solver needs of the site: duct air, and the density of outdoor air."""

    density_kg_m3: float
    viscosity_pa_s: float
    outdoor_density_kg_m3: float


def site_air(site):
    """Air in the duct and outdoors from the site's dict (all keys optional, kelvin, fractions).

    Duct air takes what it lacks from the room; outdoor air that is not given is as in the room,
    a given one without humidity is at 50 %.
    """
    pressure_pa = atmospheric_pressure_pa(site.get("elevation_m", 0.0))
    room = {"temperature_k": (70.0 + 459.67) / 1.8, "humidity": 0.5} | site.get("indoor", {})
    duct = room | site.get("duct", {})
    outdoor = ({"humidity": 0.5} | site["outdoor"]) if "outdoor" in site else room
    density = moist_air_density_kg_m3(duct["temperature_k"], duct["humidity"], pressure_pa)
    viscosity = sutherland_viscosity_pa_s(duct["temperature_k"])
    outdoor_density = moist_air_density_kg_m3(
        outdoor["temperature_k"], outdoor["humidity"], pressure_pa)
    stated = site.get("air", {})
    return Air(stated.get("density_kg_m3", density), stated.get("viscosity_pa_s", viscosity),
               outdoor_density)


# ---------------------------------------------------------------- duct


@dataclass(frozen=True)
class Section:
    """A cross-section: round (width = diameter), rectangular or oval (width x height) [m]."""

    shape: str
    width_m: float
    height_m: float = 0.0

    @property
    def area_m2(self):
        if self.shape == "round":
            return math.pi * self.width_m**2 / 4.0
        if self.shape == "rectangular":
            return self.width_m * self.height_m
        major, minor = self.width_m, self.height_m
        return math.pi * minor**2 / 4.0 + minor * (major - minor)

    @property
    def equivalent_diameter_m(self):
        """Diameter of the round duct with equal airflow and equal loss."""
        a, b = self.width_m, self.height_m
        if self.shape == "round":
            return a
        if self.shape == "rectangular":
            return 1.30 * (a * b) ** 0.625 / (a + b) ** 0.25
        perimeter_m = math.pi * b + 2.0 * (a - b)
        return 1.55 * self.area_m2**0.625 / perimeter_m**0.25


def colebrook(reynolds, relative_roughness):
    """Friction factor f and slope df/dRe of the Colebrook-White law (arrays of any shape)."""
    reynolds = numpy.asarray(reynolds, dtype=float)
    k = relative_roughness / 3.7
    x = numpy.full_like(reynolds, 7.0)  # x = 1/sqrt(f)
    for _ in range(60):
        inner = k + 2.51 * x / reynolds
        residual = x + 2.0 * numpy.log10(inner)
        slope = 1.0 + 2.0 / math.log(10.0) / inner * 2.51 / reynolds
        step = residual / slope
        x = x - step
        if numpy.max(numpy.abs(step)) < 1e-14 * numpy.max(x):
            break
    a = 2.0 / math.log(10.0) / (k + 2.51 * x / reynolds) * 2.51 / reynolds
    dx = a * x / (reynolds * (1.0 + a))
    return x**-2, -2.0 * x**-3 * dx


def friction_factor_re2(reynolds, relative_roughness):
    """G = f Re^2: laminar to 2300, Colebrook-White from 4000, a cubic Hermite in Re between."""
    re = numpy.asarray(reynolds, dtype=float)
    lower, upper = 2300.0, 4000.0
    laminar = 64.0 * re
    f, _ = colebrook(numpy.maximum(re, upper), relative_roughness)
    turbulent = f * re**2
    f4, slope4 = colebrook(upper, relative_roughness)
    h = upper - lower
    t = (re - lower) / h
    blend = ((2 * t**3 - 3 * t**2 + 1) * 64.0 * lower + (t**3 - 2 * t**2 + t) * h * 64.0
             + (-2 * t**3 + 3 * t**2) * f4 * upper**2
             + (t**3 - t**2) * h * (2.0 * f4 * upper + upper**2 * slope4))
    return numpy.where(re <= lower, laminar, numpy.where(re >= upper, turbulent, blend))


def straight_loss_pa(airflow_m3_s, length_m, section, roughness_m, air):
    """Darcy-Weisbach with velocity, Reynolds number and f all on the equivalent diameter [Pa]."""
    de = section.equivalent_diameter_m
    velocity = 4.0 * numpy.asarray(airflow_m3_s) / (math.pi * de**2)
    reynolds = air.density_kg_m3 * velocity * de / air.viscosity_pa_s
    # f rho V^2/2 = G mu^2 / (2 rho De^2)
    g = friction_factor_re2(reynolds, roughness_m / de)
    return length_m / de * g * air.viscosity_pa_s**2 / (2.0 * air.density_kg_m3 * de**2)


def compression_multiplier(stretched, diameter_m):
    """Loss per installed length over that of the fully stretched duct."""
    return 1.0 + 0.58 * 100.0 * (1.0 - stretched) * math.exp(-0.126 * diameter_m / INCH_M)


# ---------------------------------------------------------------- route

AXES = {"up": (0, 0, 1), "down": (0, 0, -1), "left": (-1, 0, 0), "right": (1, 0, 0),
        "back": (0, 1, 0), "front": (0, -1, 0)}


def direction(words):
    """Unit vector of `up`, `up-back` and so on; z is up."""
    vector = sum(numpy.array(AXES[word], dtype=float) for word in words.split("-"))
    return vector / numpy.linalg.norm(vector)


def turned(heading, target, angle_rad=None):
    """The heading after turning to the target, or by an angle toward it."""
    if angle_rad is None:
        return target
    across = target - numpy.dot(target, heading) * heading
    across /= numpy.linalg.norm(across)
    return math.cos(angle_rad) * heading + math.sin(angle_rad) * across


def cut_length_m(pieces, index):
    """A straight's length between fittings: what is measured to centres loses its elbows' legs."""
    piece = pieces[index]
    length_m = piece["length_m"]
    if piece.get("to_centres"):
        for neighbour in (index - 1, index + 1):
            if 0 <= neighbour < len(pieces) and pieces[neighbour]["kind"] == "elbow":
                length_m -= pieces[neighbour].get("legs_m", 0.0)
    return length_m


def route_rise_m(run):
    """Outlet height minus collar height [m]: stated, else by headings, else none."""
    if "rise_m" in run:
        return run["rise_m"]
    if "heading" not in run:
        return 0.0
    heading = direction(run["heading"])
    rise = 0.0
    for index, piece in enumerate(run["pieces"]):
        if piece["kind"] == "elbow":
            after = turned(heading, direction(piece["turn"]), piece.get("angle_rad"))
            rise += piece.get("legs_m", 0.0) * (heading[2] + after[2])
            heading = after
        elif piece["kind"] == "straight":
            rise += cut_length_m(run["pieces"], index) * heading[2]
        elif piece["kind"] in ("flex", "transition"):
            rise += piece.get("length_m", 0.0) * heading[2]
    return rise


# ---------------------------------------------------------------- run


def first_section(layout):
    """The run starts at its own section, or at the collar's where it states none."""
    return layout["run"].get("section") or layout["appliance"]["collar"]


def compile_losses(layout, air):
    """The run's losses as a list of functions airflow [m3/s] -> loss of total pressure [Pa].

    Returns (losses, fan): fan is None at the collar, else the section in force at the fan piece.
    """
    run = layout["run"]
    rho = air.density_kg_m3
    section = first_section(layout)
    roughness_m = run.get("roughness_m")
    fan_section = None
    losses = []

    def by_coefficient(coefficient, area_m2):
        return lambda q: coefficient * rho / 2.0 * (q / area_m2) ** 2

    def by_flap(coefficient, area_m2, opening_pa):
        return lambda q: numpy.sqrt(opening_pa**2
                                    + (coefficient * rho / 2.0 * (q / area_m2) ** 2) ** 2)

    def by_friction(length_m, duct, wall_m, multiplier):
        return lambda q: multiplier * straight_loss_pa(q, length_m, duct, wall_m, air)

    def by_measured_drop(pressure_pa, at_m3_s):
        return lambda q: pressure_pa * rho / STANDARD_DENSITY_KG_M3 * (q / at_m3_s) ** 2

    def by_filter(linear, square):
        mu_ratio = air.viscosity_pa_s / sutherland_viscosity_pa_s(STANDARD_TEMPERATURE_K)
        rho_ratio = rho / STANDARD_DENSITY_KG_M3
        return lambda q: linear * mu_ratio * q + square * rho_ratio * q**2

    for index, piece in enumerate(run["pieces"]):
        kind = piece["kind"]
        if kind == "straight":
            wall_m = piece.get("roughness_m", roughness_m)
            losses.append(by_friction(cut_length_m(run["pieces"], index), section, wall_m, 1.0))
        elif kind == "flex":
            multiplier = compression_multiplier(piece["stretched"], section.width_m)
            losses.append(by_friction(piece["length_m"], section, FLEX_ROUGHNESS_M, multiplier))
        elif kind == "transition":
            after = piece["to"]
            reference = section if piece["reference"] == "upstream" else after
            losses.append(by_coefficient(piece["coefficient"], reference.area_m2))
            section = after
        elif kind == "fan":
            fan_section = section
        elif kind == "filter":
            losses.append(by_filter(*filter_law(piece)))
        elif "opening_pressure_pa" in piece:
            losses.append(by_flap(piece["coefficient"], section.area_m2,
                                  piece["opening_pressure_pa"]))
        elif "at_m3_s" in piece:
            losses.append(by_measured_drop(piece["pressure_pa"], piece["at_m3_s"]))
        else:
            losses.append(by_coefficient(piece["coefficient"], section.area_m2))
    if run["pieces"][-1]["kind"] != "cap":
        losses.append(by_coefficient(1.0, section.area_m2))
    return losses, fan_section


def filter_law(piece):
    """(a, b) of dp = a Q + b Q^2 in standard air, from one point and its law or from two points."""
    q, p = piece["at_m3_s"], piece["pressure_pa"]
    if len(q) == 1:
        return (p[0] / q[0], 0.0) if piece["law"] == "linear" else (0.0, p[0] / q[0] ** 2)
    matrix = numpy.array([[q[0], q[0] ** 2], [q[1], q[1] ** 2]])
    return tuple(numpy.linalg.solve(matrix, numpy.array(p)))


def back_pressure_pa(layout, air):
    """Constant pressure against the airflow: wind at the cap less the stack's help [Pa]."""
    run = layout["run"]
    if run.get("discharge", "outdoors") == "room":
        return 0.0
    site = layout.get("site", {})
    stack = (air.outdoor_density_kg_m3 - air.density_kg_m3) * GRAVITY_M_S2 * route_rise_m(run)
    wind_m_s = site.get("wind_m_s", 0.0)
    coefficient = 0.0
    if wind_m_s:
        coefficient = site.get("wind_coefficient")
        if coefficient is None:
            coefficient = WIND_COEFFICIENT[run["pieces"][-1].get("type")]
    return air.outdoor_density_kg_m3 / 2.0 * wind_m_s**2 * coefficient - stack


WIND_COEFFICIENT = {"wall-hood-flap": 0.7, "soffit-vent": 0.7, "roof-hood-flap": 0.0,
                    "conical-rain-cap": 0.0}


# ---------------------------------------------------------------- fan


@dataclass(frozen=True)
class BlowerCurve:
    """Pressure of one blower against its airflow on the printed basis, between two airflows."""

    pressure_pa: object
    first_m3_s: float
    last_m3_s: float


def curve_through(airflow_m3_s, pressure_pa):
    """PCHIP through three points or more, P0 - a Q^2 through two."""
    if len(airflow_m3_s) == 2:
        (q1, q2), (p1, p2) = airflow_m3_s, pressure_pa
        a = (p1 - p2) / (q2**2 - q1**2)
        return BlowerCurve(lambda q: p1 + a * q1**2 - a * q**2, min(q1, q2), max(q1, q2))
    return BlowerCurve(PchipInterpolator(airflow_m3_s, pressure_pa), airflow_m3_s[0],
                       airflow_m3_s[-1])


def blower_curve(speed, kind):
    """The curve of a speed that has points of its own, or None where too little is known."""
    if "airflow_m3_s" in speed:
        return curve_through(speed["airflow_m3_s"], speed["pressure_pa"])
    ratings = speed["ratings"]
    if len(ratings) == 2:
        return curve_through([q for q, _ in ratings], [p for _, p in ratings])
    (q, p), = ratings
    if kind == "bath-fan" and abs(p - 0.1 * INCH_WATER_PA) < 1e-9:
        return curve_through([0.81 * q, q], [0.25 * INCH_WATER_PA, p])
    return None


# ---------------------------------------------------------------- operating point


def crossings_of(g, first, last):
    """Every sign change of g between two airflows: list of (airflow, stable)."""
    span = last - first
    grid = numpy.concatenate([first + span * numpy.geomspace(1e-9, 1e-3, 60),
                              numpy.linspace(first, last, GRID_POINTS)])
    grid = numpy.unique(grid)
    values = g(grid)
    found = []
    for left, right, a, b in zip(grid[:-1], grid[1:], values[:-1], values[1:]):
        if a > 0.0 >= b or a <= 0.0 < b:
            root = brentq(lambda q: float(g(q)), left, right, xtol=1e-16, rtol=1e-13)
            found.append((root, bool(a > 0.0)))
    return found


def solve(layout, loss_scale=1.0):
    """The operating point of each speed: a list of dicts, SI.

    `loss_scale` multiplies every loss; the generator uses it to refuse layouts whose answer
    hangs on a hair.
    """
    air = site_air(layout.get("site", {}))
    losses, fan_section = compile_losses(layout, air)
    back = back_pressure_pa(layout, air)
    fan = layout.get("fan")
    if fan is None:
        return [{"name": None, "status": "no-fan"}]

    def resistance(q):
        return loss_scale * sum(loss(q) for loss in losses)

    at_collar = fan_section is None
    outlet = fan_section or layout["appliance"].get("collar") or first_section(layout)
    results = []
    for speed in fan["speeds"]:
        source, ratio = (fan["speeds"][0], speed["speed_ratio"]) if "speed_ratio" in speed else (
            speed, 1.0)
        curve = blower_curve(source, layout["appliance"]["kind"])
        if curve is None:
            results.append({"name": speed["name"], "status": "not-determined"})
            continue
        results.append({"name": speed["name"]} | operating_point(
            curve, fan, ratio, outlet, at_collar, resistance, back, air))
    return results


def operating_point(curve, fan, ratio, outlet, at_collar, resistance, back, air):
    """Where one speed of the fan meets the run; see solve()."""
    rho = air.density_kg_m3
    flow_scale = fan.get("count", 1) * ratio
    pressure_scale = rho / fan.get("rated_density_kg_m3", 0.075 * LB_FT3_KG_M3) * ratio**2
    basis = fan.get("curve_pressure", "static")
    # Static rise adds VP2 - VP1: at the collar the fan draws from the room (VP1 = 0), inline the
    # same section stands before and after.
    adds_outlet_head = basis == "static" or (basis == "static-rise" and at_collar)

    def outlet_velocity_pressure(q):
        return rho / 2.0 * (q / outlet.area_m2) ** 2

    def fan_total(q):
        p = pressure_scale * curve.pressure_pa(q / flow_scale)
        return p + outlet_velocity_pressure(q) if adds_outlet_head else p

    def g(q):
        return fan_total(q) - resistance(q) - back

    first, last = curve.first_m3_s * flow_scale, curve.last_m3_s * flow_scale
    # one ulp inside, so that q / flow_scale stays on the curve
    last = numpy.nextafter(last, 0.0)
    first = numpy.nextafter(first, last) if first > 0.0 else 0.0
    crossings = crossings_of(g, first, last)
    stable = [q for q, is_stable in crossings if is_stable]
    result = {"all_crossings_m3_s": [q for q, _ in crossings]}
    if float(g(first)) <= 0.0:
        result["status"] = "no-flow" if first == 0.0 else "below-curve"
        result["crossings_m3_s"] = [q for q, _ in crossings]
    elif stable:
        airflow = min(stable)
        result |= {"status": "found", "airflow_m3_s": airflow,
                   "crossings_m3_s": [q for q, _ in crossings if q != airflow]}
        result["airflow_standard_m3_s"] = airflow * rho / STANDARD_DENSITY_KG_M3
        total = float(fan_total(airflow))
        result["total_pressure_pa"] = total
        result["static_pressure_pa"] = total - float(outlet_velocity_pressure(airflow))
        result["collar_static_pressure_pa"] = result["static_pressure_pa"] if at_collar else None
    else:
        result |= {"status": "beyond-curve", "crossings_m3_s": []}
    return result
