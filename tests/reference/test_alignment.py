"""Toe, thrust, camber and string skew against wheels built as planes in space, and worked tables.

The signs are those of ISO 8855:2011 (7.1.6 toe, 7.1.7 total toe; camber and axes from memory).
Independent routes: wheel planes turned by scipy's rotations, gaps found as distances between points
and lines in space, doubt by Monte Carlo (JCGM 101:2008).
"""

from __future__ import annotations

import math

import numpy as np
import pint
import pytest
from scipy.spatial.transform import Rotation

from measurements.core import wheel_geometry as geometry
from measurements.core.assessment import Assessment
from measurements.core.context import Context
from measurements.core.instruments import Instrument
from measurements.core.instruments import Span as Range
from measurements.core.judging import assess
from measurements.core.readings import validate
from measurements.procedures.alignment import PROCEDURE

TABLE = "worked table by vector geometry with numpy, made apart from this program"
SPACE = "wheel planes turned by scipy.spatial.transform.Rotation, gaps as distances in space"
CLOSED = "closed form by another route"
TOE_SIGN = "ISO 8855:2011, 7.1.6: toe-in is positive"
REGISTRY = pint.get_application_registry()
CORNERS = ("fl", "fr", "rl", "rr")
TICKED = {f"ready.{item.code}": "yes" for item in PROCEDURE.preconditions}
GAUGE = Instrument("tape", "gap gauge", "", (Range(5000, 0.0001),))
CONTEXT = Context(fault_present="yes", instruments={"tape": GAUGE})


def judged(typed: dict[str, str], context: Context = CONTEXT) -> Assessment:
    ready = TICKED | {"given.play": "none", "given.settled": "rolled"}
    checked = validate(PROCEDURE, ready | typed, context)
    assert checked.ok, checked.faults
    return assess(PROCEDURE, checked.readings, context)


def value(found: Assessment, key: str) -> float:
    figure = found.figure(key)
    assert figure is not None and figure.value is not None, key
    return figure.value


def mm(number: float) -> str:
    return f"{number:.9f} mm"


# --- worked tables ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("front", "rear", "span", "toe_mm", "toe", "arcmin", "slip"),
    [
        (120.5, 118.9, 420, 1.6, 0.2183, 13.1, 3.81),
        (101, 101, 400, 0, 0, 0, 0),
        (88.2, 90.1, 431.8, -1.9, -0.2521, -15.13, -4.4),
        (150, 148, 381, 2, 0.3008, 18.05, 5.249),
    ],
)
def test_toe_of_one_wheel_from_two_gaps(
    against, front, rear, span, toe_mm, toe, arcmin, slip
) -> None:
    found = judged(
        {
            "given.span": mm(span),
            "wheels.fl_stood.front": mm(front),
            "wheels.fl_stood.rear": mm(rear),
        }
    )
    case = f"{front:g} and {rear:g} mm over {span:g} mm"
    got = value(found, "toe_fl")
    against(f"toe, {case}", TABLE, expected=float(toe), got=got, within=5e-5, unit="°")
    minutes = REGISTRY.Quantity(got, "degree").to("arcminute").magnitude
    against(
        f"toe, {case}", f"{TABLE}; pint", expected=float(arcmin), got=minutes, within=5e-3, unit="′"
    )
    against(
        f"toe, {case}", TABLE, expected=float(toe_mm), got=value(found, "toe_mm_fl"), within=1e-6,
        unit="mm",
    )  # fmt: skip
    against(
        f"side slip, {case}", TABLE, expected=float(slip), got=value(found, "slip_fl"), within=5e-4,
        unit="m/km",
    )  # fmt: skip


@pytest.mark.parametrize(("toe", "span", "expected"), [(0.1, 406.4, 0.709), (-0.25, 431.8, -1.884)])
def test_toe_in_millimetres_from_degrees(against, toe, span, expected) -> None:
    got = geometry.toe_mm(toe, span)
    against(f"{toe:g}° over {span:g} mm", TABLE, expected=expected, got=got, within=5e-4, unit="mm")
    chord = abs(np.exp(1j * np.radians(toe)) - 1) * span * math.cos(math.radians(toe / 2))
    against(
        f"{toe:g}° over {span:g} mm", f"{CLOSED}: chord in the complex plane",
        expected=math.copysign(chord, toe), got=got, within=1e-9, unit="mm",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("ahead", "behind", "between", "in_mm", "total"),
    [(1498, 1501, 620, 3, 0.2772), (1510.5, 1508.5, 640, -2, -0.179)],
)
def test_total_toe_by_a_tape_across(against, ahead, behind, between, in_mm, total) -> None:
    found = judged(
        {
            "tape.front.ahead": mm(ahead),
            "tape.front.behind": mm(behind),
            "tape.front.between": mm(between),
        }
    )
    case = f"{ahead:g} ahead and {behind:g} behind over {between:g} mm"
    against(f"total toe, {case}", TABLE, expected=total, got=value(found, "tape_front"),
            within=5e-5, unit="°")  # fmt: skip
    against(f"total toe, {case}", TABLE, expected=float(in_mm), got=value(found, "tape_mm_front"),
            within=1e-6, unit="mm")  # fmt: skip


def test_an_eighth_of_an_inch_is_a_quarter_degree(against) -> None:
    eighth, wheel = 25.4 / 8, 25.4 * 28.648
    against(
        "total toe of 1/8 in across wheels of 28.65 in",
        "the trade's rule 1/8 in = 0.25° (common practice, from memory)",
        expected=0.25,
        got=geometry.tape_total_deg(0.0, eighth, wheel),
        within=5e-4,
        unit="°",
    )


FOUR_WHEELS = [
    (
        420.0,
        {"fl": (120.5, 118.9), "fr": (119.2, 118), "rl": (121, 119.8), "rr": (118.9, 119.5)},
        {"toe_fl": 0.2183, "toe_fr": 0.1637, "toe_rl": 0.1637, "toe_rr": -0.0819,
         "total_front": 0.382, "total_rear": 0.0819, "thrust": 0.1228, "thrust_iso": -0.1228,
         "lead": 0.0273},
    ),
    (
        406.4,
        {"fl": (95, 94), "fr": (96, 95), "rl": (97, 96), "rr": (98, 97)},
        {"toe_fl": 0.141, "toe_fr": 0.141, "toe_rl": 0.141, "toe_rr": 0.141,
         "total_front": 0.282, "total_rear": 0.282, "thrust": 0.0, "thrust_iso": 0.0, "lead": 0.0},
    ),
    (
        431.8,
        {"fl": (101.2, 102), "fr": (99.8, 98), "rl": (103, 101.4), "rr": (100.4, 101)},
        {"toe_fl": -0.1062, "toe_fr": 0.2388, "toe_rl": 0.2123, "toe_rr": -0.0796,
         "total_front": 0.1327, "total_rear": 0.1327, "thrust": 0.146, "thrust_iso": -0.146,
         "lead": -0.1725},
    ),
]  # fmt: skip


@pytest.mark.parametrize(("span", "gaps", "expected"), FOUR_WHEELS)
def test_four_wheels_together(against, span, gaps, expected) -> None:
    typed = {"given.span": mm(span)}
    for code, pair in gaps.items():
        for key, gap in zip(("front", "rear"), pair, strict=True):
            typed[f"wheels.{code}_stood.{key}"] = mm(gap)
    found = judged(typed)
    for key, wanted in expected.items():
        figure = found.figure(key)
        assert figure is not None
        against(
            f"{figure.label}, four wheels over {span:g} mm", TABLE, expected=wanted,
            got=value(found, key), within=6e-5, unit="°",
        )  # fmt: skip


@pytest.mark.parametrize(
    ("apparent", "hub_front", "hub_rear", "track_front", "track_rear", "base", "skew", "true"),
    [
        (0.2, 100, 104, 1530, 1510, 2650, 0.1297, 0.0703),
        (0.05, 100, 95, 1480, 1480, 2500, 0.1146, -0.0646),
    ],
)
def test_skew_of_a_string_and_toe_corrected_for_it(
    against, apparent, hub_front, hub_rear, track_front, track_rear, base, skew, true
) -> None:
    span = 420.0
    typed = {
        "given.span": mm(span),
        "given.track_front": mm(track_front),
        "given.track_rear": mm(track_rear),
        "given.wheelbase": mm(base),
        "corners.fl.hub": mm(hub_front),
        "corners.rl.hub": mm(hub_rear),
        "wheels.fl_stood.front": mm(120 + span * math.sin(math.radians(apparent))),
        "wheels.fl_stood.rear": mm(120),
    }
    found = judged(typed)
    case = f"hub gaps {hub_front} and {hub_rear} mm, tracks {track_front} and {track_rear} mm"
    against(f"skew of the string, {case}", TABLE, expected=skew, got=value(found, "skew_left"),
            within=5e-5, unit="°")  # fmt: skip
    against(f"toe corrected for it, {case}", TABLE, expected=true, got=value(found, "toe_fl"),
            within=6e-5, unit="°")  # fmt: skip


@pytest.mark.parametrize(
    ("top", "bottom", "height", "tilt", "camber"),
    [
        (52, 46.5, 400, 0, -0.7878),
        (40, 40, 420, 0.3, -0.3),
        (38.2, 44, 431.8, -0.15, 0.9196),
    ],
)
def test_camber_from_a_plumb_line(against, top, bottom, height, tilt, camber) -> None:
    typed = {
        "given.height": mm(height),
        "wheels.rr_stood.top": mm(top),
        "wheels.rr_stood.bottom": mm(bottom),
        "corners.rr.floor": f"{tilt} °",
    }
    case = f"{top:g} at the top, {bottom:g} at the bottom over {height:g} mm, floor {tilt:g}°"
    got = value(judged(typed), "camber_rr")
    against(f"camber, {case}", TABLE, expected=camber, got=got, within=5e-5, unit="°")
    slope = math.degrees(math.atan2(bottom - top, math.sqrt(height**2 - (bottom - top) ** 2)))
    against(
        f"camber, {case}", f"{CLOSED}: slope of the line between the points", expected=slope - tilt,
        got=got, within=1e-6, unit="°",
    )  # fmt: skip


@pytest.mark.parametrize(("toe", "slip"), [(0.05, 0.873), (0.1146, 2.0), (0.5, 8.727)])
def test_side_slip_from_toe(against, toe, slip) -> None:
    got = geometry.side_slip_m_per_km(toe)
    against(f"side slip at {toe:g}°", TABLE, expected=slip, got=got, within=5e-4, unit="m/km")
    roll = Rotation.from_euler("z", toe, degrees=True).apply([1.0, 0.0, 0.0])
    against(
        f"side slip at {toe:g}°", "rolled a kilometre along a direction turned by scipy",
        expected=float(1000 * roll[1] / roll[0]), got=got, within=1e-9, unit="m/km",
    )  # fmt: skip


# --- doubt ------------------------------------------------------------------------------------


def test_doubt_of_a_toe_from_two_gaps(against) -> None:
    from uncertainties import ufloat

    got = geometry.toe_deg(ufloat(120, 0.25), ufloat(120, 0.25), 420.0).std_dev
    against("u of a toe from gaps of u = 0.25 mm over 420 mm", f"{TABLE}; JCGM 100:2008, 5.1.2",
            expected=0.0482, got=got, within=5e-5, unit="°")  # fmt: skip


def test_a_tape_by_eye_gives_a_tenth_of_a_degree(against) -> None:
    typed = {"given.span": "420", "wheels.fl_stood.front": "120", "wheels.fl_stood.rear": "120"}
    figure = judged(typed, Context()).figure("toe_fl")
    assert figure is not None
    against("u of a toe by eye over 420 mm", "common practice: 0.5 mm a gap by eye",
            expected=0.10, got=figure.u, within=5e-3, unit="°")  # fmt: skip
    by_hand = math.degrees(math.sqrt(2) * math.sqrt(0.25 / 3 + 1 / 12 + 0.25 / 3) / 420)
    against("u of a toe by eye over 420 mm", "JCGM 100:2008, 4.3.7 and F.2.2.1, by hand",
            expected=by_hand, got=figure.u, relative=1e-6, unit="°")  # fmt: skip


def test_a_millimetre_of_run_out_is_a_seventh_of_a_degree(against) -> None:
    against("1 mm of run-out over 420 mm", "common practice: 0.14°", expected=0.14,
            got=geometry.toe_deg(1.0, 0.0, 420.0), within=5e-3, unit="°")  # fmt: skip


def test_doubt_of_a_swing_whose_place_is_not_known(against) -> None:
    """The difference of the gaps is the swing times the cosine of where the wheel stands."""
    turns = np.linspace(0, 2 * np.pi, 100_001)[:-1]
    for swing in (1.0, 2.4):
        against(
            f"u from a swing of {swing:g} mm", "arcsine distribution over a turn, numpy",
            expected=float(np.std(swing * np.cos(turns))), got=geometry.turning_u_mm(swing),
            relative=1e-9, unit="mm",
        )  # fmt: skip
    against("u from a swing of 1 mm", "JCGM 101:2008, 6.4.6 (from memory): a / √2",
            expected=1 / math.sqrt(2), got=geometry.turning_u_mm(1.0), relative=1e-12,
            unit="mm")  # fmt: skip


def test_doubt_of_the_whole_sheet_by_monte_carlo(against) -> None:
    """400 000 cars with gaps, span, tracks and hub gaps drawn from their distributions."""
    gaps = {"fl": (121, 119), "fr": (122, 119), "rl": (123, 120), "rr": (118, 120)}
    hubs = dict.fromkeys(CORNERS, 100.0)
    car = {"track_front": 1530.0, "track_rear": 1510.0, "wheelbase": 2650.0}
    typed = {"given.span": "420", "given.ratio": "16"}
    typed |= {f"given.{key}": f"{number:g}" for key, number in car.items()}
    typed |= {f"corners.{code}.hub": f"{gap:g}" for code, gap in hubs.items()}
    for code, pair in gaps.items():
        typed[f"wheels.{code}_stood.front"], typed[f"wheels.{code}_stood.rear"] = map(str, pair)
    found = judged(typed, Context())
    rng, many = np.random.default_rng(8855), 400_000
    tape = math.sqrt(0.25 / 3 + 1 / 12)  # ±0.5 mm, marks of 1 mm

    def draw(mean: float, placing: float) -> np.ndarray:
        return rng.normal(mean, math.hypot(tape, placing), many)

    span = draw(420, 2.0)
    tracks = {key: rng.normal(number, 2.0, many) for key, number in list(car.items())[:2]}
    base = rng.normal(car["wheelbase"], 5.0, many)
    skew = {
        side: np.arctan2(
            tracks["track_front"] / 2 + draw(100, 1.0) - tracks["track_rear"] / 2 - draw(100, 1.0),
            base,
        )
        for side in "lr"
    }
    toes = {
        code: np.degrees(
            np.arcsin((draw(front, 0.5 / math.sqrt(3)) - draw(rear, 0.5 / math.sqrt(3))) / span)
            - skew[code[1]]
        )
        for code, (front, rear) in gaps.items()
    }
    thrust, lead = (toes["rl"] - toes["rr"]) / 2, (toes["fl"] - toes["fr"]) / 2
    drawn = {
        "skew_left": np.degrees(skew["l"]),
        "toe_fl": toes["fl"],
        "total_front": toes["fl"] + toes["fr"],
        "total_rear": toes["rl"] + toes["rr"],
        "thrust": thrust,
        "lead": lead,
        "wheel_off": (thrust - lead) * rng.normal(16, 0.5, many),
    }
    for key, sample in drawn.items():
        figure = found.figure(key)
        assert figure is not None
        source = "Monte Carlo with numpy, 400 000 draws (JCGM 101:2008)"
        against(f"{figure.label}, mean", source, expected=float(np.mean(sample)),
                got=value(found, key), within=0.01 + figure.u * 0.02, unit="°")  # fmt: skip
        against(f"u of {figure.label}", source, expected=float(np.std(sample)), got=figure.u,
                relative=0.01, unit="°")  # fmt: skip


# --- wheels in space --------------------------------------------------------------------------


class SpaceWheel:
    """A wheel as a plane in space: x forward, y left, z up, in mm (axes of ISO 8855, from memory).

    wobble: degrees by which the rim's plane is off its own axis, turned with it; turn: degrees.
    """

    def __init__(
        self, code: str, hub: tuple[float, float, float], toe: float, camber: float, wobble: float
    ) -> None:
        self.left = code[1] == "l"
        self.hub = np.array(hub)
        # From above, toe-in turns a left wheel clockwise; seen from behind, a top that leans
        # outward turns a left wheel anticlockwise about the axis that points forward.
        yaw, roll = (-toe, -camber) if self.left else (toe, camber)
        self.turned = Rotation.from_euler("z", yaw, degrees=True) * Rotation.from_euler(
            "x", roll, degrees=True
        )
        self.wobble = wobble

    def point(
        self, along: tuple[float, float], turn: float = 0.0, phase: float = 0.0
    ) -> np.ndarray:
        """A point of the rim by its place in the wheel as it stands now, (forward, up) in mm: on
        the rim's plane, which wobbles about the axle as the wheel turns."""
        forward, up = along
        angle = math.radians(turn + phase)
        tilt = math.tan(math.radians(self.wobble))
        out = tilt * (forward * math.cos(angle) + up * math.sin(angle))
        return self.hub + self.turned.apply([forward, out, up])


def distance_to_line(point: np.ndarray, start: np.ndarray, along: np.ndarray) -> float:
    """Distance in space of a point from a line, by the cross product."""
    return float(np.linalg.norm(np.cross(point - start, along)) / np.linalg.norm(along))


CARS = [
    # tracks, wheelbase, strings' skews (left, right, outward to the front +), toes, cambers, wobble
    (1530, 1530, 2650, (0.0, 0.0), (0.20, 0.15, 0.10, -0.05), (-0.5, -0.7, -1.2, -1.0), 0.0),
    (1530, 1510, 2650, (0.12, -0.07), (0.35, -0.22, 0.18, 0.31), (0.4, 0.2, -0.9, -1.4), 0.0),
    (1480, 1520, 2480, (-0.15, 0.2), (-0.4, 0.6, 0.25, -0.3), (0.0, 1.1, 0.0, -2.0), 0.25),
    (1600, 1620, 2900, (0.05, 0.05), (0.0, 0.0, 0.5, -0.5), (-1.5, -1.5, -1.5, -1.5), 0.4),
]


@pytest.mark.parametrize(
    ("track_front", "track_rear", "base", "skews", "toes", "cambers", "wobble"), CARS
)
def test_a_car_built_in_space_is_read_back(
    against, track_front, track_rear, base, skews, toes, cambers, wobble
) -> None:
    """Wheels as planes, strings and plumb lines as lines; the gaps go through the whole test."""
    radius, height = 210.0, 310.0
    typed = {
        "given.span": mm(2 * radius),
        "given.height": mm(2 * radius),
        "given.ratio": "16",
        "given.track_front": mm(track_front),
        "given.track_rear": mm(track_rear),
        "given.wheelbase": mm(base),
    }
    for number, code in enumerate(CORNERS):
        front, left = code[0] == "f", code[1] == "l"
        sign = 1 if left else -1
        track = track_front if front else track_rear
        hub = (base if front else 0.0, sign * track / 2, height)
        wheel = SpaceWheel(code, hub, toes[number], cambers[number], wobble)
        skew = math.radians(skews[0] if left else skews[1])
        start = np.array([0.0, sign * (track_rear / 2 + 105.0), height])
        string = np.array([math.cos(skew), sign * math.sin(skew), 0.0])
        # The gap at the hub is taken square to the car, as the formula has it.
        string_y = start[1] + string[1] / string[0] * hub[0]
        typed[f"corners.{code}.hub"] = mm(abs(string_y - hub[1]))
        plumb = np.array([hub[0], hub[1] + sign * 150.0, 0.0])
        for turn, degrees in (("stood", 0.0), ("turned", 180.0)):
            for key, place in (("front", (radius, 0.0)), ("rear", (-radius, 0.0))):
                point = wheel.point(place, degrees, phase=20.0 * number)
                gap = distance_to_line(point, start, string)
                typed[f"wheels.{code}_{turn}.{key}"] = mm(gap)
            for key, place in (("top", (0.0, radius)), ("bottom", (0.0, -radius))):
                point = wheel.point(place, degrees, phase=20.0 * number)
                typed[f"wheels.{code}_{turn}.{key}"] = mm(sign * (plumb[1] - point[1]))
    found = judged(typed)
    expected = {f"toe_{c}": toe for c, toe in zip(CORNERS, toes, strict=True)}
    fl, fr, rl, rr = toes
    # Where a pair points, from the sum of the directions in which its wheels roll.
    for key, (left, right) in (("lead", (fl, fr)), ("thrust", (rl, rr))):
        roll = (
            Rotation.from_euler("z", [[-left], [right]], degrees=True).apply([1.0, 0.0, 0.0]).sum(0)
        )
        expected[key] = -math.degrees(math.atan2(roll[1], roll[0]))
    expected |= {"total_front": fl + fr, "total_rear": rl + rr}
    expected["thrust_iso"] = -expected["thrust"]
    expected["wheel_off"] = 16 * (expected["thrust"] - expected["lead"])
    expected |= {"skew_left": skews[0], "skew_right": skews[1]}
    expected |= {f"camber_{c}": camber for c, camber in zip(CORNERS, cambers, strict=True)}
    expected |= {"cross_front": cambers[0] - cambers[1], "cross_rear": cambers[2] - cambers[3]}
    car = f"tracks {track_front} and {track_rear} mm, rims {wobble:g}° out of true"
    for key, wanted in expected.items():
        figure = found.figure(key)
        assert figure is not None, key
        against(
            f"{figure.label}; {car}", f"{SPACE}; {TOE_SIGN}", expected=float(wanted),
            got=value(found, key), within=16 * 1e-4 if key == "wheel_off" else 2e-4, unit="°",
        )  # fmt: skip
    for number, code in enumerate(CORNERS):
        swing = 2 * radius * math.tan(math.radians(wobble)) * math.cos(math.radians(20 * number))
        against(
            f"swing between the turns, {code}; {car}", SPACE, expected=abs(swing),
            got=value(found, f"runout_{code}"), within=2e-3 + abs(swing) * 1e-3, unit="mm",
        )  # fmt: skip


@pytest.mark.parametrize("toes", [(0.5, 0.3), (-0.2, 0.4)])
def test_tape_across_two_wheels_in_space(against, toes) -> None:
    """Distance of the marks ahead and behind, for wheels that stand alike; else a mean."""
    radius, points = 310.0, {}
    for code, toe in zip(("fl", "fr"), toes, strict=True):
        hub = (0.0, 750.0 if code == "fl" else -750.0, radius)
        wheel = SpaceWheel(code, hub, toe, 0.0, 0.0)
        points[code] = [wheel.point((x, 0.0)) for x in (radius, -radius)]
    ahead, behind = (
        float(np.linalg.norm(left - right)) for left, right in zip(*points.values(), strict=True)
    )
    typed = {"tape.front.ahead": mm(ahead), "tape.front.behind": mm(behind)}
    found = judged(typed | {"tape.front.between": mm(2 * radius)})
    for key in ("tape_front", "total_front"):
        against(
            f"total toe by tape, wheels at {toes[0]:g}° and {toes[1]:g}°", f"{SPACE}; {TOE_SIGN}",
            expected=sum(toes), got=value(found, key), within=2e-4, unit="°",
        )  # fmt: skip
    strings = {"given.span": mm(420)}
    for code, toe in zip(("fl", "fr"), toes, strict=True):
        rise = 210 * math.tan(math.radians(toe)) / math.hypot(1, math.tan(math.radians(toe)))
        strings[f"wheels.{code}_stood.front"] = mm(120 + rise)
        strings[f"wheels.{code}_stood.rear"] = mm(120 - rise)
    both = judged(typed | {"tape.front.between": mm(2 * radius)} | strings)
    against("strings less tape, both true", SPACE, expected=0.0, got=value(both, "disagree_front"),
            within=2e-4, unit="°")  # fmt: skip
    in_mm = sum(420 * math.sin(math.radians(toe)) for toe in toes)
    against("total toe over 420 mm", CLOSED, expected=in_mm, got=value(both, "total_mm_front"),
            within=1e-6, unit="mm")  # fmt: skip
