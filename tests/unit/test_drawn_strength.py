"""Drawn coordinates of the fin and joint under load, compared with the calculated figures."""

from __future__ import annotations

import itertools
import math

import pytest
from plans import EXAMPLES

from bulbcast.drawing.magnified import magnification
from bulbcast.drawing.shapes import (
    Circle,
    Dimension,
    Line,
    Polyline,
    Region,
    Style,
    Text,
    dimension_text,
    text_box,
)
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.joint.fin_bent import bent_fin
from bulbcast.joint.fin_view import SAG, fin_bent_view
from bulbcast.joint.joint_view import joint_view, joint_words, largest_force
from bulbcast.plan.reading import read_plan

TEXT = (EXAMPLES / "saltmarrow.toml").read_text()
CHANGES = {
    "steel": (),
    "inches": (('display_units = "metric"', 'display_units = "imperial"'),),
    "upright": (('rake = "6 deg"\n', ""),),
    "floppy": (
        ('modulus = "205 GPa"\nshear_modulus = "79 GPa"', 'modulus = "2 GPa"\nshear_modulus = "0.8 GPa"'),
    ),
    "forward": (('tip_leading_edge_x = "1.62 m"', 'tip_leading_edge_x = "1.42 m"'),),
}


@pytest.fixture(scope="module", params=CHANGES)
def job(request):
    text = TEXT
    for old, new in CHANGES[request.param]:
        assert old in text
        text = text.replace(old, new)
    return run(read_plan(text, source="saltmarrow.toml"))


def bent_of(job):
    fin, bulb = job.strength.fin, job.bulb
    return bent_fin(
        fin.foil,
        fin.section,
        bulb_mass=bulb.mass,
        bulb_x=bulb.mass_centre[0],
        bulb_z=bulb.mass_centre[1],
        fin_density=fin.fin_density,
        elastic_axis=fin.elastic_axis,
    )


def drawn(job):
    return fin_bent_view(job.strength.fin, job.bulb, job.strength.asked.largest_deflection, job.shown)


def texts(view):
    return [one for one in view.shapes if isinstance(one, Text)] + [
        dimension_text(one) for one in view.shapes if isinstance(one, Dimension)
    ]


def test_the_bent_line_ends_at_the_tip_as_the_beam_has_it(job):
    # Two quadratures of the same integrals: 32 nodes over the whole fin, and 72 in 24 intervals from the hull down.
    line, held = bent_of(job), job.strength.fin.knockdown
    assert line[0].deflection == 0.0
    assert line[-1].deflection == pytest.approx(held.tip_deflection, rel=1e-8)
    assert line[0].moment == pytest.approx(held.root_moment, rel=1e-12)
    # The slope of the moment is the load that hangs below: at the tip the bulb's weight alone.
    last, tip = line[-2:]
    assert (last.moment - tip.moment) / (tip.depth - last.depth) == pytest.approx(
        9.80665 * job.bulb.mass, rel=0.01
    )


def test_a_cantilever_bends_as_the_handbook_says():
    # A prismatic cantilever under an end load: w(x) = P x^2 (3 l - x) / (6 EI); Gere and Timoshenko, Mechanics
    # of Materials, table of deflections of cantilevers, from memory.
    from bulbcast.fin.foil import Foil
    from bulbcast.fin.stiffness import GivenFin

    foil = Foil(
        root_leading_edge_x=0.0, root_chord=0.2, root_z=0.0, root_thickness=0.02,
        tip_leading_edge_x=0.0, tip_chord=0.2, tip_z=-1.0, tip_thickness=0.02,
    )  # fmt: skip
    section = GivenFin(bending=5000.0, torsion=1e9, fore_and_aft=None, material=None)
    line = bent_fin(
        foil, section, bulb_mass=30.0, bulb_x=0.08, bulb_z=-1.0, fin_density=0.0, elastic_axis=0.4
    )
    load = 30.0 * 9.80665
    for one in line:
        x = one.depth
        assert one.deflection == pytest.approx(load * x**2 * (3.0 - x) / (6.0 * 5000.0), rel=1e-6, abs=1e-12)
        assert one.moment == pytest.approx(load * (1.0 - x), rel=1e-9, abs=1e-9)


def test_the_drawn_sag_over_the_magnification_is_the_planned_one(job):
    view, held = drawn(job), job.strength.fin.knockdown
    sag = next(one for one in view.shapes if isinstance(one, Dimension))
    reach = job.strength.fin.foil.root_z - job.bulb.mass_centre[1] + 0.5 * job.bulb.body.height
    times = magnification(held.bulb_deflection, SAG * reach)
    assert sag.measured / 1e3 / times == pytest.approx(held.bulb_deflection, rel=1e-9)
    assert sag.text == job.shown.length(held.bulb_deflection)
    assert any(
        f"{times:g} times" in one.text or "drawn to scale" in one.text or "1 to" in one.text
        for one in texts(view)
    )
    # The fin's own axis comes down by as much, at every level.
    axis = next(one for one in view.shapes if isinstance(one, Polyline) and one.style is Style.AXIS)
    for point, level in zip(axis.points, bent_of(job), strict=False):
        assert point[0] == pytest.approx(1e3 * level.depth)
        assert -point[1] / 1e3 / times == pytest.approx(level.deflection, abs=1e-12)


def test_the_moment_drawn_is_the_beams_at_every_level(job):
    view, line = drawn(job), bent_of(job)
    curve = next(one for one in view.shapes if isinstance(one, Polyline) and one.style is Style.CURVE).points
    base = curve[-1][1]
    for point, level in zip(curve, line, strict=False):
        share = (point[1] - base) / (curve[0][1] - base)
        assert share == pytest.approx(level.moment / line[0].moment, abs=1e-9)
    said = next(one.text for one in texts(view) if one.text.startswith("moment "))
    assert job.shown.torque(job.strength.fin.knockdown.root_moment) in said


def test_the_greatest_stress_is_marked_where_it_is(job):
    view, fin = drawn(job), job.strength.fin
    marks = [one.centre[0] for one in view.shapes if isinstance(one, Circle) and one.style is Style.MARK]
    for stress in fin.knockdown.stresses:
        assert min(abs(x - 1e3 * (fin.foil.root_z - stress.at_z)) for x in marks) < 1e-9
        assert any(job.shown.pressure(stress.stress) in one.text for one in texts(view))


def test_every_pull_is_drawn_along_its_screw_to_one_scale(job):
    held = job.strength.joint
    view = joint_view(held, job.shown)
    arrows = [one for one in view.shapes if isinstance(one, Line) and one.style is Style.CURVE_3]
    forces = [one.pulls[index] for index in range(len(held.cases)) for one in held.screws]
    lengths = [math.dist(one.start, one.end) for one in arrows if one.end[1] < one.start[1]]
    assert sorted(lengths) == pytest.approx(sorted(16.0 * force / largest_force(held) for force in forces))
    for one in arrows:
        if one.end[1] < one.start[1]:
            assert math.atan2(one.end[0] - one.start[0], one.start[1] - one.end[1]) == pytest.approx(
                held.joint.rake, abs=1e-9
            )
    pressed = [case.pivot.force for case in held.cases if case.pivot is not None]
    assert len(arrows) - len(lengths) == len(pressed)
    said = [one.text for one in texts(view)]
    for force in (*forces, *pressed):
        assert job.shown.force(force) in said
    assert job.shown.force(max(forces)) in joint_words(held, job.shown)


def test_no_text_meets_another_or_is_cut_off(job):
    for view in (drawn(job), joint_view(job.strength.joint, job.shown)):
        boxes = [(one.text, text_box(one).grown(-1e-9)) for one in texts(view)]
        assert [(a[0], b[0]) for a, b in itertools.combinations(boxes, 2) if a[1].meets(b[1])] == []
        assert all(view.box.joined(box) == view.box for _, box in boxes)
        assert view.box.width * view.scale <= 186.0
        assert view.box.height * view.scale <= 230.0


def test_a_fin_without_screws_or_allowables_is_drawn_too():
    text = (
        TEXT[: TEXT.index("[[screws]]")]
        + "[strength]\n"
        + 'section = "given"\nbending_stiffness = "900 N m2"\n'
    )
    text += 'torsion_stiffness = "4000 N m2"\n'
    job = run(read_plan(text, source="saltmarrow.toml"))
    view = drawn(job)
    assert (
        view.title
        == f"With the fin held flat, the bulb sags {job.shown.length(job.strength.fin.knockdown.bulb_deflection)}"
    )
    assert [one for one in view.shapes if isinstance(one, Region) and one.style is Style.LEAD]


def test_the_report_of_an_example_shows_both():
    from bulbcast.joint.chapter import strength_chapter
    from bulbcast.report.as_html import chapter_html

    job = run(*load_plan(EXAMPLES / "saltmarrow.toml"))
    html = chapter_html(strength_chapter(job, job.strength))
    assert "fin-bent-title" in html
    assert "joint-loads-title" in html
