"""Two halves bonded face to face around a pocket: the bond between them and the pins through them."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from scipy.integrate import dblquad
from shapely import Point, Polygon

from bulbcast.bulb.fastening.chapter import fastening
from bulbcast.job import run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan_table

PLAN = {
    "bulb": {"target_mass": "2.5 kg", "profile": "spheroid", "fineness": 6.0, "tail_diameter": "0 mm"},
    "alloy": {"grade": "pure"},
    "fin": {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "18 mm", "pocket_clearance": "0.3 mm"},
    "mould": {"material": "plaster", "kind": "open-halves", "drying": "air"},
}  # fmt: skip


def read(**sections):
    changed = {name: {**PLAN.get(name, {}), **one} for name, one in sections.items() if isinstance(one, dict)}
    listed = {name: one for name, one in sections.items() if not isinstance(one, dict)}
    return read_plan_table({**PLAN, **changed, **listed}, source="plan.toml", sha256="0" * 64)


def faults(**sections):
    with pytest.raises(PlanError) as caught:
        read(**sections)
    return [one.message for one in caught.value.faults]


def lines(job):
    return {one.name: one.mass for one in job.bulb.lines}


def pocket_in_profile(job):
    """Side view of the raked pocket, from the floor up: the chord plus its clearance."""
    axis, pocket = job.bulb.axis, job.bulb.pocket
    ends = (
        pocket.leading_edge_x - pocket.clearance,
        pocket.leading_edge_x + pocket.tip.chord + pocket.clearance,
    )
    up, over = 0.2, -0.2 * axis.shift
    floor = axis.floor
    return Polygon(
        [(ends[0], floor), (ends[1], floor), (ends[1] + over, floor + up), (ends[0] + over, floor + up)]
    )


@pytest.mark.parametrize("rake", [0.0, 9.0])
@pytest.mark.parametrize("width_to_height", [1.0, 1.3])
def test_the_bond_is_the_centreplane_outside_the_pocket(rake, width_to_height):
    """An ellipse's area is pi/4 times the product of its axes; shapely cuts the pocket out of it as a polygon."""
    job = run(
        read(
            fin={"bond_line": "0.2 mm", "rake": f"{rake} deg"},
            bulb={"width_to_height": width_to_height, "filler_density": "1.15 g/cm3"},
        )
    )
    body = job.bulb.body
    angle = 2.0 * math.pi * np.arange(20000) / 20000
    a, b = 0.5 * body.length, 0.5 * body.height
    ellipse = Polygon(np.column_stack([a + a * np.cos(angle), b * np.sin(angle)]))
    assert ellipse.area == pytest.approx(0.25 * math.pi * body.length * body.height, rel=1e-7)
    outside = ellipse.difference(pocket_in_profile(job))
    assert outside.area < 0.96 * ellipse.area
    bond = job.bulb.bond
    assert bond.volume == pytest.approx(0.0002 * outside.area, rel=1e-6)
    assert bond.moment_x == pytest.approx(0.0002 * outside.area * outside.centroid.x, rel=1e-6)
    assert bond.moment_z == pytest.approx(0.0002 * outside.area * outside.centroid.y, rel=1e-5)
    assert lines(job)["bond between the halves"] == pytest.approx(1150.0 * bond.volume, rel=1e-12)
    # The pocket is cut half in each half: apart, they leave it as much wider over its whole profile.
    inside = ellipse.intersection(pocket_in_profile(job))
    widened = job.bulb.widened
    assert widened.volume == pytest.approx(0.0002 * inside.area, rel=2e-5)
    assert widened.moment_z == pytest.approx(0.0002 * inside.area * inside.centroid.y, rel=1e-4)
    bedding = job.bulb.cuts.pocket_bedding.volume + widened.volume
    assert lines(job)["bedding of the fin"] == pytest.approx(1150.0 * bedding, rel=1e-12)
    every = job.bulb.displaced.volume + job.bulb.cuts.fin_inside.volume + job.bulb.fin_through_skin.volume
    skinned = job.bulb.volume.volume + sum(one.piece.volume for one in job.bulb.lines if one.name == "skin")
    slab = 0.0002 * ellipse.area
    assert every == pytest.approx(skinned + job.bulb.fin_through_skin.volume + slab, rel=1e-9)
    assert job.bulb.mass == pytest.approx(2.5, rel=1e-9)


def _filler_between(job):
    """Mass of the bond and the extra filling of the pocket, with the default filler of 1.2 g/cm3. [kg]"""
    return 1200.0 * (job.bulb.bond.volume + job.bulb.widened.volume)


def test_a_bond_takes_lead_of_its_own_mass_and_widens_the_bulb():
    bare, bonded = (
        run(read(fin=fin, limits={"bulb_width": "1 in"})) for fin in ({}, {"bond_line": "0.5 mm"})
    )
    lead = [lines(job)["lead body"] + lines(job)["pocket"] for job in (bare, bonded)]
    others = [sum(lines(job).values()) - one for job, one in zip((bare, bonded), lead, strict=True)]
    assert lead[0] - lead[1] == pytest.approx(others[1] - others[0], rel=1e-6)
    assert others[1] - others[0] == pytest.approx(_filler_between(bonded), rel=2e-3)
    widths = [next(one for one in job.limits if one.name == "bulb_width").found for job in (bare, bonded)]
    shrunk = bare.bulb.body.width - bonded.bulb.body.width
    assert widths[1] - widths[0] == pytest.approx(0.0005 - shrunk, rel=1e-9)
    water = [job.bulb.displacement for job in (bare, bonded)]
    body = [job.bulb.volume.volume for job in (bare, bonded)]
    assert water[1] - water[0] == pytest.approx(
        body[1] - body[0] + _filler_between(bonded) / 1200.0, rel=2e-3
    )


def test_without_a_bond_line_the_report_says_what_one_would_weigh():
    def text(job):
        return " ".join(part.text for part in fastening(job).parts if hasattr(part, "text"))

    bare, bonded = run(read()), run(read(fin={"bond_line": "0.2 mm"}))
    film = re.search(
        r"No bond line is given. A bond line of 0.20 mm, for example, weighs ([0-9.]+) g,", text(bare)
    )
    assert film is not None
    # In three digits, on the body as it is without one.
    assert 1e-3 * float(film[1]) == pytest.approx(_filler_between(bonded), abs=1e-5)
    assert "A bond line of 0.20 mm keeps them that far apart." in text(bonded)
    assert "bond" not in text(run(read(mould={"kind": "closed"})))


def test_a_bond_line_wants_two_halves_that_meet_on_the_centreplane():
    bond = {"bond_line": "0.2 mm"}
    assert faults(fin=bond, mould={"kind": "closed"}) == [
        "plan.toml: fin.bond_line: read bond_line without two halves; expected a bond line only if two "
        'halves are bonded. Add joint = "through" under [fin] for a blade that goes right through, or kind = '
        '"open-halves" under [mould] for a bulb cast as two halves. Or remove bond_line.'
    ]
    assert faults(fin=bond, mould={"split": "upper-lower"}) == [
        'plan.toml: fin.bond_line: read bond_line with split = "upper-lower" under [mould]; expected port and '
        "starboard halves, bonded on the middle plane. "
        "Remove split, or remove bond_line."
    ]
    for split in ({}, {"split": "port and starboard"}):
        assert read(fin=bond, mould=split).halves_bonded


PIN = {"at": "14 mm", "height": "-9 mm", "diameter": "4 mm", "hole_diameter": "4.4 mm", "length": "24 mm"}


def codes(job):
    return {one.code: one for one in job.findings if one.where.startswith(("cross_pins", "fin"))}


@pytest.mark.parametrize(
    "place", [{}, {"at": "-12 mm", "height": "3 mm"}, {"at": "84 mm", "height": "-0.5 mm"}]
)
def test_a_pin_clear_of_the_pocket_takes_the_lead_of_its_hole_right_through(place):
    """Pins below the floor, forward of the pocket and aft of it: scipy integrates the ellipsoid's width over the hole."""
    job = run(read(fin={"rake": "4 deg"}, cross_pins=[{**PIN, **place}, {**PIN, "at": "56 mm"}]))
    bulb, space = job.bulb, job.bulb.cuts.pins[0]
    (cx, cz), a, b = space.pin.centre(bulb.axis), 0.5 * bulb.body.length, 0.5 * bulb.body.height

    def volume(diameter, between):
        return dblquad(
            lambda angle, r: (
                r
                * between(
                    2.0
                    * b
                    * math.sqrt(
                        1.0
                        - ((cx + r * math.cos(angle) - a) / a) ** 2
                        - ((cz + r * math.sin(angle)) / b) ** 2
                    )
                )
            ),
            0.0,
            0.5 * diameter,
            0.0,
            2.0 * math.pi,
            epsrel=1e-10,
        )[0]

    hole = volume(0.0044, lambda wide: wide)
    plugs = volume(0.0044, lambda wide: wide - 0.024)
    assert space.hole.volume == pytest.approx(hole, rel=1e-8)
    assert space.plug.volume == pytest.approx(plugs, rel=1e-8)
    assert space.bedding.volume == pytest.approx(hole - plugs - 0.25 * math.pi * 0.004**2 * 0.024, rel=1e-6)
    found = lines(job)
    assert found["hole of cross pin 1"] == pytest.approx(-job.wish.cast_density * hole, rel=1e-8)
    assert found["cross pin 1"] == pytest.approx(8000.0 * 0.25 * math.pi * 0.004**2 * 0.024, rel=1e-12)
    assert "overlap between cuts" not in found
    assert bulb.mass == pytest.approx(2.5, rel=1e-9)
    assert bulb.fin_pins == ()
    assert codes(job) == {}


@pytest.mark.parametrize("rake", [-20.0, 0.0, 11.0])
def test_how_far_a_hole_is_off_the_pocket_is_shapelys_distance(rake):
    draw = np.random.default_rng(7)
    pins = [
        {**PIN, "at": f"{draw.uniform(-30, 100):.2f} mm", "height": f"{draw.uniform(-15, 15):.2f} mm"}
        for _ in range(12)
    ]
    job = run(read(fin={"rake": f"{rake} deg"}, cross_pins=pins))
    outline = pocket_in_profile(job)
    found = [space.off_pocket for space in job.bulb.cuts.pins]
    expected = [
        outline.distance(Point(*space.pin.centre(job.bulb.axis))) - 0.0022 for space in job.bulb.cuts.pins
    ]
    assert found == pytest.approx(expected, abs=1e-9)
    assert min(found) < 0.0 < max(found)


def test_the_lead_left_beside_such_a_pin_counts_towards_the_pocket_and_the_skin():
    job = run(read(cross_pins=[PIN, {**PIN, "at": "56 mm", "height": "-4 mm"}]))
    first, second = job.fittings.pins
    # 9 mm below the floor less half of the hole, and 4 mm.
    assert first.off_pocket == pytest.approx(0.0068, abs=1e-12)
    assert second.wall == second.off_pocket == pytest.approx(0.0018, abs=1e-12)
    assert first.grip == pytest.approx(0.012, abs=1e-12)
    thin = codes(job)["wall-thin"]
    assert thin.where == "cross_pins[2]"
    assert thin.message == (
        "Beside the hole for cross pin 2, towards the pocket or the skin, only 1.80 mm of lead is left. 3.00 mm is required "
        "(1.20 mm more)."
    )


def test_a_pin_that_meets_the_pocket_can_be_set_below_it_as_typed():
    job = run(read(cross_pins=[{**PIN, "height": "-1 mm"}, {**PIN, "at": "56 mm"}]))
    outside = codes(job)["pin-outside-fin"]
    below = [one for one in outside.fix if one.value and one.value.startswith('"-')]
    assert [one.key for one in below] == ["cross_pins[1].height"]
    height = below[0].value.strip('"')
    assert codes(run(read(cross_pins=[{**PIN, "height": height}, {**PIN, "at": "56 mm"}]))) == {}
    # In one casting there are no halves to hold.
    closed = codes(run(read(mould={"kind": "closed", "drying": "baked"}, cross_pins=[PIN])))
    assert "hold only the two halves" not in closed["pin-outside-fin"].remedy


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("mass", ["0.8 kg", "2.5 kg", "40 kg"])
@pytest.mark.parametrize("screwed", [False, True])
def test_the_pins_that_are_offered_hold_as_typed(units, mass, screwed):
    scale = (float(mass.split()[0]) / 2.5) ** (1.0 / 3.0)
    fin = {
        name: f"{size * scale:.2f} mm"
        for name, size in (("tip_chord", 70), ("tip_thickness", 7), ("pocket_depth", 16))
    }
    table = {"display_units": units, "fin": fin, "bulb": {"target_mass": mass}}
    if screwed:
        sizes = {
            "diameter": 3,
            "hole_diameter": 3.4,
            "head_diameter": 6,
            "head_height": 2,
            "recess": 5,
            "length": 36,
        }
        screw = {name: f"{size * scale:.2f} mm" for name, size in sizes.items()}
        table["screws"] = [{"at": f"{at * scale:.1f} mm", **screw} for at in (14, 56)]
    offered = codes(run(read(**table)))["bonded-only"].remedy
    words = dict.fromkeys(("height", "diameter", "length"))
    for name in words:
        words[name] = re.search(rf'{name} = "([^"]+)"', offered)[1]
    pins = [{"at": at, **words} for at in re.findall(r'at = "([^"]+)"', offered)]
    assert len(pins) == 2
    assert codes(run(read(**table, cross_pins=pins))) == {}


def test_the_report_says_how_the_holes_are_drilled_and_gives_no_fin_beside_a_pin_that_misses_it():
    def table(*pins):
        return next(
            one
            for one in fastening(run(read(cross_pins=list(pins)))).parts
            if "pin" in getattr(one, "caption", "")
        )

    through = {**PIN, "at": "35 mm", "height": "8 mm"}
    both = table(PIN, through)
    column = both.heads.index("fin beside it")
    # 8 mm up to the pin's middle less half of the pin.
    assert [row[column] for row in both.rows] == ["–", "6.00 mm"]
    assert "and any part of the fin between them" in both.caption
    assert "clear of the fin" in table(PIN).caption
    assert "through the lead and the fin together" in table(through).caption


def test_holes_below_the_pocket_that_meet_a_screw_are_counted_once_and_stop():
    screw = {"at": "16 mm", "diameter": "3 mm", "hole_diameter": "3.4 mm", "head_diameter": "6 mm",
             "head_height": "2 mm", "recess": "6 mm", "length": "30 mm"}  # fmt: skip
    job = run(read(cross_pins=[PIN, {**PIN, "at": "56 mm"}], screws=[screw]))
    assert codes(job)["fastenings-meet"].found == pytest.approx(0.002 - 0.0022 - 0.003, abs=1e-9)
    assert lines(job)["overlap between cuts"] > 0.0


def test_a_pin_that_misses_the_lead_holds_no_halves():
    there, away = PIN, {**PIN, "height": "-4 m"}
    said = [
        codes(run(read(cross_pins=list(pins)))).get("bonded-only")
        for pins in ((there, there | {"at": "56 mm"}), (there, away))
    ]
    assert said[0] is None
    assert said[1].found == 1.0
    assert said[1].message == (
        "The two halves are held together by their bond and by the fin between them, and by one cross pin."
    )
    on_crown = codes(run(read(fin={"pocket_depth": "0 mm"})))["bonded-only"]
    assert on_crown.message == "The two halves are held together by their bond alone."
