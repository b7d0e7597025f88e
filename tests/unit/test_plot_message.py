"""What the plot of a study says: its main sentence, bulbs to the same scale, axes, and choice of panels."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest
from plans import EXAMPLES

from bulbcast.compare import compare, read_variations
from bulbcast.compare.message import study_message
from bulbcast.compare.plot import study_plot
from bulbcast.compare.plot_outlines import outline_scale
from bulbcast.compare.run import MOST_OUTLINES, outlined_of
from bulbcast.files.plan_file import plan_bytes
from bulbcast.plan.document import take_apart
from bulbcast.quantities import Shown

WIDE = 1.25
"""Ratio of width to height of Puddlejack's bulb. [-]"""

SVG = "{http://www.w3.org/2000/svg}"


def study_of(*typed, speed=None, plan="puddlejack"):
    table = take_apart(plan_bytes(EXAMPLES / f"{plan}.toml"), source=f"{plan}.toml").table
    return compare(
        table, read_variations(typed, table), file=(f"{plan}.toml", "0" * 64), speed=speed, workers=1
    )


@pytest.fixture(scope="module")
def finer():
    return study_of("bulb.fineness=4:8:5", speed=1.0)


def shown_of(study):
    return Shown(study.display_units)


def drawn(study):
    return ElementTree.fromstring(study_plot(study, shown_of(study)))


def texts(root, kind=None):
    return [e.text for e in root.iter(f"{SVG}text") if kind is None or e.get("class") == kind]


def points(path):
    return [tuple(map(float, pair.split())) for pair in path.get("d").lstrip("M").rstrip("Z").split("L")]


def shapes(root):
    return [e for e in root.iter(f"{SVG}path") if e.get("class") in ("bulb", "stopped")]


def test_the_line_is_made_of_the_studys_own_figures(finer):
    shown, low = shown_of(finer), finer.column("drag.low_n")
    lengths, diameters = finer.column("bulb.length_m"), finer.column("bulb.diameter_m")
    assert list(lengths) == sorted(lengths)
    assert list(diameters) == sorted(diameters, reverse=True)
    words = study_message(finer, shown)
    assert words.startswith(
        f"5 bulbs of {shown.mass(finer.column('bulb.hung_mass_kg')[0])}: longer is thinner, "
    )
    assert f"drag differs by {100.0 * (max(low) / min(low) - 1.0):.1f} % at the lowest form factor" in words
    assert texts(drawn(finer), "message")[0].startswith(words[:60])


def test_heavier_bulbs_of_one_fineness_are_longer_and_thicker_and_said_so():
    study = study_of("bulb.target_mass=2kg:3kg:4", plan="fenwisp")
    words, shown, masses = (
        study_message(study, shown_of(study)),
        shown_of(study),
        study.column("bulb.hung_mass_kg"),
    )
    span = f"{shown.mass(masses[0])} to {shown.mass(masses[-1])}"
    assert words.startswith(f"4 bulbs of {span}: longer is thicker, length ")
    assert "drag" not in words


def test_of_bulbs_of_one_length_the_diameters_are_said():
    study = study_of("bulb.target_mass=300g:600g:4")
    words, lengths = study_message(study, shown_of(study)), study.column("bulb.length_m")
    assert len({round(length, 9) for length in lengths}) == 1
    assert f"length {shown_of(study).length(lengths[0])}, diameter " in words
    assert "longer" not in words


def test_a_study_without_a_bulb_or_with_one_says_so(finer):
    faults = study_of("bulb.fineness=5").rows[0]
    assert study_message(replace(finer, rows=(finer.rows[0],)), shown_of(finer)).startswith("One bulb of ")
    from bulbcast.plan.faults import Fault

    failed = replace(
        faults, values=(None,) * len(finer.columns), faults=(Fault("f", "k", "r", "e", "m"),), outline=()
    )
    assert (
        study_message(replace(finer, rows=(failed, failed)), shown_of(finer))
        == "No bulb in any of the 2 plans"
    )


def test_every_bulb_is_drawn_to_one_scale(finer):
    root = drawn(finer)
    drawn_shapes = shapes(root)
    assert len(drawn_shapes) == len(finer.rows)
    scale = outline_scale(finer.rows, 86.0)
    for shape, length, diameter in zip(
        drawn_shapes, finer.column("bulb.length_m"), finer.column("bulb.diameter_m"), strict=True
    ):
        xs, ys = zip(*points(shape), strict=True)
        assert (max(xs) - min(xs)) / scale == pytest.approx(1e3 * length, rel=2e-4)
        # Between two points of the outline the true largest may stand out by a hair.
        assert (max(ys) - min(ys)) / scale == pytest.approx(1e3 * diameter / math.sqrt(WIDE), rel=2e-3)
        assert shape.get("class") == ("stopped" if finer.rows[drawn_shapes.index(shape)].stopped else "bulb")
    assert any(f"all at 1:{1.0 / scale:g}" in (text or "") for text in texts(root))


def test_of_many_bulbs_some_are_drawn_and_it_is_said():
    study = study_of("bulb.fineness=4:8:20")
    kept = [row for row in study.rows if row.outline]
    assert len(kept) == MOST_OUTLINES
    assert kept[0] is study.rows[0]
    assert kept[-1] is study.rows[-1]
    assert any(f"{MOST_OUTLINES} of 20 plans" in (text or "") for text in texts(drawn(study)))
    assert len(outlined_of([(i,) for i in range(10)])) == MOST_OUTLINES


def panels(root):
    """Title of each panel with the lowest number on its vertical axis, in the order drawn."""
    titles = [e for e in root.iter(f"{SVG}text") if e.get("class") == "bold"][1:]
    ticks = [
        e
        for e in root.iter(f"{SVG}text")
        if e.get("class") == "quiet end" and re.fullmatch(r"-?[\d.]+", e.text)
    ]
    found = {}
    for title in titles:
        x, y = float(title.get("x")), float(title.get("y"))
        own = [
            (float(e.get("y")), float(e.text))
            for e in ticks
            if x < float(e.get("x")) < x + 20.0 and y < float(e.get("y")) < y + 45.0
        ]
        if own:
            found[title.text] = max(own)[1]
    return found


def test_an_axis_that_does_not_start_at_zero_says_so(finer):
    root = drawn(finer)
    found, said = panels(root), [text for text in texts(root) if text and text.startswith("axis starts ")]
    assert len(found) >= 4
    assert sorted(said) == sorted(f"axis starts at {low:g}, not at 0" for low in found.values() if low != 0.0)
    assert next(iter(found)).startswith("drag at ")
    assert found[next(iter(found))] == 0.0


def test_what_hardly_differs_or_only_follows_is_named_in_place_of_a_panel(finer):
    root = drawn(finer)
    names = {title.partition(",")[0] for title in panels(root)}
    said = " ".join(text for text in texts(root) if text)
    for column in finer.columns:
        values = finer.column(column.key)
        if column.key.startswith("drag.") or None in values:
            continue
        if max(values) / min(values) - 1.0 < 0.01:
            assert column.name not in names
            assert column.name in said
    lengths = finer.column("bulb.length_m")
    ratios = [one / other for one, other in zip(finer.column("pattern.length_m"), lengths, strict=True)]
    assert max(ratios) / min(ratios) - 1.0 < 0.01
    assert "pattern length" not in names
    assert "Not drawn, because the values are in proportion to length, to within 1 %" in said


def test_what_only_follows_the_input_is_named_too():
    study = study_of("bulb.length=4in:9in:4")
    names = {title.partition(",")[0] for title in panels(drawn(study))}
    inputs = study.variations[0].numbers
    shares = [
        one / inputs[row.at[0]] for one, row in zip(study.column("pattern.length_m"), study.rows, strict=True)
    ]
    assert max(shares) / min(shares) - 1.0 < 0.01
    assert "pattern length" not in names
    assert any(
        "Not drawn, because the values are in proportion to length, to within 1 %" in (text or "")
        for text in texts(drawn(study))
    )


def test_texts_of_the_picture_do_not_meet(finer):
    for study in (finer, study_of("bulb.fineness=4:8:5", "bulb.target_mass=300g,400g,500g", speed=1.0)):
        boxes = []
        for e in drawn(study).iter(f"{SVG}text"):
            size, x, y = (float(e.get(name)) for name in ("font-size", "x", "y"))
            # An average letter of a plain face is half as wide as it is high.
            wide = 0.5 * size * len(e.text)
            left = x - (
                wide
                if "end" in (e.get("class") or "")
                else 0.5 * wide
                if "middle" in (e.get("class") or "")
                else 0.0
            )
            boxes.append((e.text, left, left + wide, y - 0.7 * size, y))
        for i, one in enumerate(boxes):
            for other in boxes[i + 1 :]:
                apart = one[2] <= other[1] or other[2] <= one[1] or one[4] <= other[3] or other[4] <= one[3]
                assert apart, (one[0], other[0])
