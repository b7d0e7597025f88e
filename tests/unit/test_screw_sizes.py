"""A screw's size fills in its dimensions from the standards, checked in a plan file and by hand."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from plans import command, faults_of

from bulbcast.materials.screws import HEADS, heads_of, sizes_known, standard_screw

INCH = 0.0254
LEAST = """\
[bulb]
target_mass = "2 kg"
[alloy]
grade = "pure"
[fin]
tip_chord = "70 mm"
tip_thickness = "8 mm"
pocket_depth = "6 mm"
[[screws]]
at = "25 mm"
size = "M4"
length = "40 mm"
"""


@pytest.mark.parametrize(
    ("size", "head", "diameter", "pitch", "hole", "across", "high"),
    [
        # ISO 7045, 4762 and 4017 (across corners 18 . 2 / sqrt 3), holes ISO 273 medium, threads ISO 261; from memory.
        ("M4", "pan", 4e-3, 0.7e-3, 4.5e-3, 8e-3, 3.1e-3),
        ("m5 x 0.8", "socket", 5e-3, 0.8e-3, 5.5e-3, 8.5e-3, 5e-3),
        # A nut across corners, ISO 4032: 7 . 2 / sqrt 3.
        ("M4", "nut", 4e-3, 0.7e-3, 4.5e-3, 14e-3 / 3.0**0.5, 3.2e-3),
        ("M12", None, 12e-3, 1.75e-3, 13.5e-3, 20.7846e-3, 7.5e-3),
        # ASME B18.6.3 pan, B18.3 socket; a number's thread is 0.060 + 0.013 n inches; from memory.
        ("#8", None, (0.060 + 0.013 * 8) * INCH, INCH / 32, 0.177 * INCH, 0.322 * INCH, 0.115 * INCH),
        ("no. 10", "socket", 0.190 * INCH, INCH / 24, 0.201 * INCH, 0.312 * INCH, 0.190 * INCH),
        ("10-32", "pan", 0.190 * INCH, INCH / 32, 0.201 * INCH, 0.373 * INCH, 0.133 * INCH),
        ('1/4"', "pan", 0.25 * INCH, INCH / 20, 0.266 * INCH, 0.492 * INCH, 0.175 * INCH),
        (
            "3/8-16",
            "hexagon",
            0.375 * INCH,
            INCH / 16,
            0.397 * INCH,
            0.5625 * INCH * 2.0 / 3.0**0.5,
            0.243 * INCH,
        ),
    ],
)
def test_figures_of_the_standards(size, head, diameter, pitch, hole, across, high) -> None:
    found = standard_screw(size, head)
    assert found is not None
    figures = (found.diameter, found.pitch, found.hole, found.head_diameter, found.head_height)
    assert figures == pytest.approx((diameter, pitch, hole, across, high), rel=2e-5)


@pytest.mark.parametrize("size", ["M7", "8", "M4 x 0.5", "M4x30", "1/4-28", "#8-36", "quarter", "M", "#"])
def test_what_is_no_usual_size_is_not_guessed(size: str) -> None:
    assert standard_screw(size) is None
    assert heads_of(size) == ()


def test_every_row_can_be_a_screw() -> None:
    for size in sizes_known():
        heads = heads_of(f"{size} in" if "/" in size else size)
        assert heads
        assert set(heads) <= set(HEADS)
        for head in (*heads, None):
            found = standard_screw(f"{size} in" if "/" in size else size, head)
            assert found is not None
            assert found.diameter < found.hole < found.head_diameter
            # A number's thread: ASME B18.6.3's 0.060 + 0.013 n.
            if size.startswith("#"):
                assert found.diameter == pytest.approx((0.060 + 0.013 * int(size[1:])) * INCH)


def planned(folder: Path, *changes: tuple[str, str]) -> tuple[int, dict, str]:
    text = LEAST
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    done = command("plan", path, "--json")
    return done.exit_code, json.loads(done.stdout) if done.stdout else {}, done.stderr


def test_place_size_and_length_are_enough(tmp_path: Path) -> None:
    status, found, said = planned(tmp_path)
    assert status in (0, 3), said
    written = LEAST.replace('size = "M4"', 'diameter = "4 mm"\nhole_diameter = "4.5 mm"\nhead_diameter = "8 mm"\n'
                            'head_height = "3.1 mm"\nrecess = "6.1 mm"')  # fmt: skip
    (tmp_path / "written.toml").write_text(written, encoding="utf-8")
    by_hand = json.loads(command("plan", tmp_path / "written.toml", "--json").stdout)
    for key in ("length_m", "hung_mass_kg", "net_lead_volume_m3"):
        assert found["bulb"][key] == by_hand["bulb"][key]


def test_what_is_typed_goes_before_the_size(tmp_path: Path) -> None:
    _, usual, _ = planned(tmp_path)
    _, wider, _ = planned(tmp_path, ('size = "M4"', 'size = "M4"\nhead_diameter = "9 mm"'))
    _, deeper, _ = planned(
        tmp_path, ('size = "M4"', 'size = "M4"\nwasher_diameter = "9 mm"\nwasher_thickness = "1 mm"')
    )
    recess = {"usual": usual, "wider": wider, "deeper": deeper}
    # Head 3.1, washer 1, and 3 mm of filler over them.
    assert [
        next(one["value"] for one in each["defaults"] if one["key"] == "screws[1].recess")
        for each in recess.values()
    ] == ["6.1 mm", "6.1 mm", "7.1 mm"]
    assert "screws[1].head_diameter" not in {one["key"] for one in wider["defaults"]}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('"M4"', '"M7"'), 'screws[1].size: read "M7"; expected a size with a standard thread: M2, M2.5,'),
        (
            ('size = "M4"', 'size = "M2"\nhead = "hex"'),
            "expected one of the heads listed for this size: pan, socket, nut. Write head",
        ),
        (('size = "M4"', 'size = "M4"\ndiameter = "4 mm"'), "both give the diameter of the thread"),
        (('size = "M4"', 'head = "pan"'), "head without size"),
        (('size = "M4"', 'size = "M4"\nhead_diameter = "4.2 mm"'), "a head wider than its hole"),
        (('size = "M4"\n', ""), "screws[1].recess: read nothing"),
    ],
)
def test_faults_say_what_would_do(tmp_path: Path, change: tuple[str, str], message: str) -> None:
    status, _, said = planned(tmp_path, change)
    assert status == 2
    assert message in " ".join(said.split())


def test_a_bonded_rod_with_its_nut_is_one_of_the_heads_and_nothing_is_counted_in_the_lead(
    tmp_path: Path,
) -> None:
    strength = (
        '[strength]\nsection = "solid"\nmaterial = "ash"\nmodulus = "10 GPa"\nshear_modulus = "0.7 GPa"\n'
        'allowable = "30 MPa"\nallowable_source = "invented"\nthread_in = "bonded"\nthread_shear_allowable = "2 MPa"\n'
        '[boat]\ndisplacement = "4.2 kg"\n'
    )
    rod = ('size = "M4"', 'size = "M4"\nhead = "threaded rod"')
    whole_fin = (
        'tip_chord = "70 mm"\ntip_leading_edge_x = "0.4 m"\ntip_z = "-0.3 m"\nroot_z = "-0.04 m"\nroot_chord = "90 mm"\n'
        'root_thickness = "9 mm"\nroot_leading_edge_x = "0.39 m"\nmass = "210 g"'
    )
    place = ('tip_chord = "70 mm"', whole_fin)
    status, found, said = planned(tmp_path, rod, place, ("[[screws]]", f"{strength}[[screws]]"))
    assert status in (0, 3), said
    taken = {one["key"]: one["value"] for one in found["defaults"]}
    # ISO 4032: 7 mm across flats, 3.2 mm high; 3 mm of filler over it.
    assert (taken["screws[1].head_diameter"], taken["screws[1].recess"]) == ("8.0829 mm", "6.2 mm")
    assert "single-screw" in {one["code"] for one in found["findings"]}
    (held,) = found["strength"]["joint"]["screws"]
    # pi d L tau of what stands in the fin, and of nothing in the lead; the nut's ring on the lead, 8.0829 less 4.5 mm.
    assert held["holds_n"] == pytest.approx(math.pi * 4e-3 * held["engaged_m"] * 2e6, rel=1e-9)
    assert held["engaged_m"] < 0.040 - 0.020
    ring = 0.25 * math.pi * ((14e-3 / 3.0**0.5) ** 2 - 4.5e-3**2)
    assert held["bearing_pressure_pa"] == pytest.approx(held["hanging_n"] / ring, rel=1e-6)


@pytest.mark.parametrize("typed", ["3/8-16", "M4", "#8", "10-24"])
def test_a_size_typed_as_a_diameter_is_named_and_what_it_gives_is_not_asked_for(typed: str) -> None:
    (said,) = faults_of(LEAST.replace('size = "M4"', f'diameter = "{typed}"'))
    assert f'screws[1].diameter: read the size "{typed}"; expected a length from' in said
    assert f'Write size = "{typed}" in place of diameter: it gives the thread, hole, head and recess.' in said
    assert faults_of(LEAST.replace('size = "M4"', 'diameter = "3 furlong"')) != []
