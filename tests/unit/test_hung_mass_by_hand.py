"""Mass of one bulb by hand: all lines of the ledger, the cast body, pattern and charge from closed forms and scipy
integrals over the spheroid's equation, without the library's geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from bulbcast.fin.tip_section import FinTip, half_thickness
from bulbcast.job import Job, run
from bulbcast.plan.reading import read_plan

LENGTH, DIAMETER, TAIL = 0.240, 0.044, 0.006
CHORD, THICK, CLEAR, DEPTH = 0.070, 0.008, 0.0004, 0.007
SKIN, FILLER, LEAD, POROSITY = 0.0003, 1300.0, 11340.0, 0.008
SCREWS = (0.018, 0.036)
SHANK, HOLE, HEAD, HEAD_HIGH, RECESS, LONG, STEEL = 0.004, 0.0046, 0.008, 0.003, 0.009, 0.040, 7900.0

PLAN = (
    """
[bulb]
target_mass = "2.6 kg"
profile = "spheroid"
length = "240 mm"
tail_diameter = "6 mm"
skin = "0.3 mm"
filler_density = "1.3 g/cm3"
[alloy]
density = "11.34 g/cm3"
porosity = "0.8 %"
[fin]
material = "metal"
tip_chord = "70 mm"
tip_thickness = "8 mm"
tip_leading_edge_x = "400 mm"
tip_z = "-300 mm"
pocket_depth = "7 mm"
pocket_clearance = "0.4 mm"
carry_at = 0.42
"""
    + "".join(
        f"""
[[screws]]
at = "{at * 1e3:g} mm"
diameter = "4 mm"
hole_diameter = "4.6 mm"
head_diameter = "8 mm"
head_height = "3 mm"
recess = "9 mm"
length = "40 mm"
density = "7.9 g/cm3"
"""
        for at in SCREWS
    )
    + """
[pattern]
contraction = "0.98 %"
mould_expansion = "0.20 %"
finish = "0.4 mm"
coat = "0.15 mm"
[melt]
feeder = "300 g"
reserve = "10 %"
dross = "4 %"
"""
)


class ByHand:
    """The same bulb from the spheroid's equation r^2 = R^2 (1 - (x/a - 1)^2), cut off where r equals the tail radius."""

    def __init__(self, job: Job) -> None:
        # Size and place are the solver's; everything that follows from them is worked out anew.
        self.diameter = job.bulb.body.diameter
        self.nose_x = job.bulb.nose_x
        self.radius = self.diameter / 2.0
        # The finished length is given: at x = 240 mm the radius equals the tail radius.
        share = math.sqrt(1.0 - (TAIL / self.diameter) ** 2)
        self.half = LENGTH / (1.0 + share)
        self.floor = self.radius - DEPTH
        self.lead_x = 0.400 - self.nose_x

    def r2(self, x: float) -> float:
        return self.radius**2 * (1.0 - (x / self.half - 1.0) ** 2)

    def body(self) -> float:
        u = LENGTH / self.half - 1.0
        return math.pi * self.radius**2 * self.half * ((u - u**3 / 3.0) + 2.0 / 3.0)

    def prism(self, clearance: float) -> float:
        """Volume above the floor inside the fin's section, a polygon that shapely offsets by the clearance. [m3]"""
        from shapely.geometry import Polygon

        tip = FinTip(chord=CHORD, thickness=THICK)
        x = CHORD * 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, 4001)))
        y, _ = half_thickness(tip, x)
        section = Polygon(np.concatenate([np.stack([x, y], 1), np.stack([x, -y], 1)[::-1]]))
        outline = np.array(section.buffer(clearance, quad_segs=200).exterior.coords)
        side = outline[outline[:, 1] >= 0.0]
        side = side[np.argsort(side[:, 0], kind="stable")]

        def width(s: float) -> float:
            return float(np.interp(s, side[:, 0], side[:, 1]))

        def strip(s: float) -> float:
            room, w = self.r2(self.lead_x + s), width(s)
            # Integral of sqrt(room - y^2) - floor over -w..w.
            return w * math.sqrt(room - w * w) + room * math.asin(w / math.sqrt(room)) - 2.0 * w * self.floor

        points = [0.0, 0.02 * CHORD, CHORD]
        return sum(
            quad(strip, a, b, limit=400, epsabs=1e-13, epsrel=1e-9)[0]
            for a, b in zip([-clearance, *points], [*points, CHORD + clearance], strict=True)
            if b > a
        )

    def underside(self, at: float) -> float:
        return -math.sqrt(self.r2(self.lead_x + at))

    def recess(self, at: float) -> float:
        seat = self.underside(at) + RECESS
        big = HEAD / 2.0
        value, _ = dblquad(
            lambda y, s: seat + math.sqrt(self.r2(self.lead_x + at + s) - y * y),
            -big,
            big,
            lambda s: -math.sqrt(max(big * big - s * s, 0.0)),
            lambda s: math.sqrt(max(big * big - s * s, 0.0)),
            epsabs=1e-14,
            epsrel=1e-9,
        )
        return float(value)

    def hole(self, at: float, diameter: float) -> float:
        return math.pi / 4.0 * diameter**2 * (self.floor - self.underside(at) - RECESS)


@pytest.fixture(scope="module")
def job() -> Job:
    return run(read_plan(PLAN, source="by-hand.toml"))


@pytest.fixture(scope="module")
def hand(job: Job) -> ByHand:
    return ByHand(job)


def line(job: Job, name: str) -> float:
    return next(one.piece.volume for one in job.bulb.lines if one.name == name)


def test_the_length_is_that_after_the_tail_cut(job: Job, hand: ByHand) -> None:
    assert job.bulb.body.length == pytest.approx(LENGTH, rel=1e-12)
    assert 2.0 * math.sqrt(hand.r2(LENGTH)) == pytest.approx(TAIL, rel=1e-9)
    assert line(job, "lead body") == pytest.approx(hand.body(), rel=1e-10)


def test_the_pocket_is_the_section_grown_by_the_whole_clearance(job: Job, hand: ByHand) -> None:
    assert -line(job, "pocket") == pytest.approx(hand.prism(CLEAR), rel=2e-6)
    assert line(job, "bedding of the fin") == pytest.approx(hand.prism(CLEAR) - hand.prism(0.0), rel=2e-5)


@pytest.mark.parametrize("number", [1, 2])
def test_hole_recess_plug_and_bedding_of_each_screw(job: Job, hand: ByHand, number: int) -> None:
    at = SCREWS[number - 1]
    assert -line(job, f"hole of screw {number}") == pytest.approx(hand.hole(at, HOLE), rel=1e-10)
    assert -line(job, f"recess of screw {number}") == pytest.approx(hand.recess(at), rel=1e-7)
    head = math.pi / 4.0 * HEAD**2 * HEAD_HIGH
    assert line(job, f"plug of screw {number}") == pytest.approx(hand.recess(at) - head, rel=1e-7)
    assert line(job, f"bedding of screw {number}") == pytest.approx(
        hand.hole(at, HOLE) - hand.hole(at, SHANK), rel=1e-10
    )
    screw = head + math.pi / 4.0 * SHANK**2 * LONG
    assert line(job, f"screw {number}") == pytest.approx(screw, rel=1e-12)


def test_a_screw_balances_between_its_head_below_the_seat_and_its_shank_above(job: Job, hand: ByHand) -> None:
    head = math.pi / 4.0 * HEAD**2 * HEAD_HIGH
    shank = math.pi / 4.0 * SHANK**2 * LONG
    for number, at in enumerate(SCREWS, start=1):
        piece = next(one for one in job.bulb.lines if one.name == f"screw {number}").piece
        seat = hand.underside(at) + RECESS
        z = (head * (seat - HEAD_HIGH / 2.0) + shank * (seat + LONG / 2.0)) / (head + shank)
        assert piece.moment_z / piece.volume == pytest.approx(z, abs=1e-12)
        assert piece.moment_x / piece.volume == pytest.approx(hand.lead_x + at, abs=1e-12)


def test_the_mass_centre_is_that_of_the_sum_of_all_lines(job: Job) -> None:
    mass = sum(one.mass for one in job.bulb.lines)
    x = sum(one.density * one.piece.moment_x for one in job.bulb.lines) / mass
    z = sum(one.density * one.piece.moment_z for one in job.bulb.lines) / mass
    assert job.bulb.mass_centre_x == pytest.approx(x, rel=1e-13)
    assert job.bulb.mass_centre_z == pytest.approx(z, abs=1e-15)
    # Lead is taken out above for the pocket and below for the recesses; steel comes in along the middle.
    assert -0.0005 < z < 0.0


def test_the_skin_is_the_parallel_layer_less_the_fins_own_section(job: Job, hand: ByHand) -> None:
    # The layer by turning the meridian's buffered outline (Pappus), scipy for the fin's part of it.
    from shapely.geometry import Polygon

    x = LENGTH * 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, 6001)))
    r = np.sqrt([max(hand.r2(float(one)), 0.0) for one in x])
    whole = Polygon(np.concatenate([np.stack([x, r], 1), np.stack([x, -r], 1)[::-1]]))
    grown = whole.buffer(SKIN, quad_segs=400)
    outline = np.array(grown.exterior.coords)
    upper = outline[outline[:, 1] >= 0.0]
    upper = upper[np.argsort(upper[:, 0], kind="stable")]
    volume = math.pi * float(np.trapezoid(upper[:, 1] ** 2, upper[:, 0]))
    fin_area = 0.685083333333 * CHORD * THICK
    layer = volume - hand.body()
    # Over the fin the layer stands nearly square to it: its part is area times skin within 2 %.
    assert line(job, "skin") == pytest.approx(layer - fin_area * SKIN, rel=2e-4)
    assert line(job, "skin") < layer - 0.97 * fin_area * SKIN


def test_the_hung_mass_is_the_sum_by_hand(job: Job, hand: ByHand) -> None:
    lead = LEAD * (1.0 - POROSITY)
    net = hand.body() - hand.prism(CLEAR) - sum(hand.hole(at, HOLE) + hand.recess(at) for at in SCREWS)
    head = math.pi / 4.0 * HEAD**2 * HEAD_HIGH
    shank = math.pi / 4.0 * SHANK**2 * LONG
    fill = hand.prism(CLEAR) - hand.prism(0.0)
    fill += sum(hand.recess(at) - head + hand.hole(at, HOLE) - hand.hole(at, SHANK) for at in SCREWS)
    mass = lead * net + 2.0 * STEEL * (head + shank) + FILLER * (fill + line(job, "skin"))
    assert mass == pytest.approx(2.6, rel=1e-7)
    assert job.bulb.mass == pytest.approx(2.6, rel=1e-10)


def test_displacement_is_body_and_skin_outside_the_fin(job: Job, hand: ByHand) -> None:
    expected = hand.body() + line(job, "skin") - hand.prism(0.0)
    assert job.bulb.displacement == pytest.approx(expected, rel=1e-7)


def test_the_place_puts_the_mass_centre_at_its_share_of_the_chord(job: Job) -> None:
    assert job.bulb.nose_x + job.bulb.mass_centre_x == pytest.approx(0.400 + 0.42 * CHORD, abs=1e-9)
    assert job.bulb.axis_z + job.bulb.body.diameter / 2.0 - DEPTH == pytest.approx(-0.300, abs=1e-12)
    assert job.bulb.underside_z == pytest.approx(job.bulb.axis_z - job.bulb.body.diameter / 2.0 - SKIN)


def test_the_cast_body_has_the_finish_once_and_the_holes_still_full(job: Job, hand: ByHand) -> None:
    surface = job.bulb.surface
    d = 0.0004
    # Steiner's polynomial with the body's own area and curvature, which are held elsewhere against closed forms.
    grown = hand.body() + surface.area * d + surface.mean_curvature * d**2 + 4.0 / 3.0 * math.pi * d**3
    assert job.cast.volume == pytest.approx(grown, rel=1e-9)
    assert job.cast.mass == pytest.approx(LEAD * (1.0 - POROSITY) * grown, rel=1e-9)
    assert job.cast.length == pytest.approx(LENGTH + 2.0 * d)


def test_the_pattern_is_scaled_then_shrunk_by_the_coat(job: Job, hand: ByHand) -> None:
    scale = 1.0098 / 1.0020
    assert job.pattern.scale == pytest.approx(scale, rel=1e-14)
    surface = job.bulb.surface
    # Scaled body, area and curvature go with the cube, square and first power; the layer left is s f - c.
    d = scale * 0.0004 - 0.00015
    volume = (
        scale**3 * hand.body()
        + scale**2 * surface.area * d
        + scale * surface.mean_curvature * d**2
        + 4.0 / 3.0 * math.pi * d**3
    )
    assert job.pattern.volume == pytest.approx(volume, rel=1e-9)
    assert job.pattern.length == pytest.approx(scale * LENGTH + 2.0 * d, rel=1e-12)
    assert [step.name for step in job.pattern.steps][-1] == "coat of sealer"
    assert job.pattern.steps[-1].volume == job.pattern.volume


def test_the_charge_leaves_the_cast_the_feeder_and_the_reserve(job: Job) -> None:
    melt = job.melt
    assert melt.charge * (1.0 - 0.04) == pytest.approx((job.cast.mass + 0.300) * 1.10, rel=1e-12)


def test_a_cored_pocket_and_cored_holes_leave_the_casting_at_their_finished_size(hand: ByHand) -> None:
    text = PLAN.replace('tip_z = "-300 mm"', 'tip_z = "-300 mm"\npocket = "cored"').replace(
        'length = "40 mm"', 'length = "40 mm"\nhole = "cored"'
    )
    job = run(read_plan(text, source="cored.toml"))
    solid = run(read_plan(PLAN, source="by-hand.toml"))
    assert job.bulb.mass == pytest.approx(solid.bulb.mass, rel=1e-10)
    gone = solid.cast.volume - job.cast.volume
    cuts = hand.prism(CLEAR) + sum(hand.hole(at, HOLE) + hand.recess(at) for at in SCREWS)
    # Through the finish the pocket's and the recesses' own cross sections go as well.
    section = 0.685083333333 * CHORD * THICK + 2.0 * 1.03 * CHORD * CLEAR
    through = 0.0004 * (section + 2.0 * math.pi / 4.0 * HEAD**2)
    assert gone == pytest.approx(cuts + through, rel=1e-3)
    assert gone > cuts


def test_a_rake_with_the_tip_aft_leads_pocket_and_screws_forward_as_they_rise() -> None:
    upright = run(read_plan(PLAN, source="upright.toml"))
    raked = run(
        read_plan(PLAN.replace("carry_at = 0.42", 'carry_at = 0.42\nrake = "12 deg"'), source="raked.toml")
    )
    for number in range(2):
        screw = raked.bulb.lines[[one.name for one in raked.bulb.lines].index(f"screw {number + 1}")].piece
        at = raked.bulb.screw_cuts[number].at_x
        along = screw.moment_z / screw.volume - raked.bulb.axis.floor
        # The screw's own centre lies below the floor or above it: aft of its place below, forward above.
        assert screw.moment_x / screw.volume - at == pytest.approx(
            -math.tan(math.radians(12.0)) * along, rel=1e-9
        )
    pocket_up = upright.bulb.cuts.pocket
    pocket_raked = raked.bulb.cuts.pocket
    centre_up = pocket_up.moment_x / pocket_up.volume - upright.bulb.pocket.leading_edge_x
    centre_raked = pocket_raked.moment_x / pocket_raked.volume - raked.bulb.pocket.leading_edge_x
    assert centre_raked < centre_up - 0.0005
