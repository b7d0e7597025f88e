"""Ten kinds of broken hull files, each read in full, and the messages shown to the builder.

The faults are a hole, flipped facets, repeated facets, two shells, invalid numbers, an empty file, a truncated file, a
unit wrong by a factor of 25.4, a hull upside down, and millions of facets. Faults that are safe to repair are repaired
and give the same bulb. Others are rejected with full-sentence messages that give the position of the fault and the fix.
"""

from __future__ import annotations

import json

import numpy as np
import pytest
from plans import command, example_text, hull_maker

MAKER = hull_maker()
FACETS = MAKER.surface(40, 16)
TEXT = example_text("larkmoss")
COUNT = len(FACETS)


def ballast(folder, content, lines=""):
    """Result of `bulbcast ballast` for the example with this hull file: exit status, JSON object and messages."""
    (folder / "hull.stl").write_bytes(content)
    path = folder / "plan.toml"
    words = TEXT.replace('offsets = "larkmoss-offsets.csv"', f'hull = "hull.stl"{lines}')
    path.write_text(words, encoding="utf-8")
    done = command("ballast", path, "--json")
    reported = [
        line.removeprefix(f"{path}: ")
        for line in done.stderr.splitlines()
        if not line.endswith("have to be fixed:")
    ]
    assert "Traceback" not in done.output
    return done.exit_code, json.loads(done.stdout) if done.stdout else None, reported


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """Target mass of the bulb for the unbroken hull. [kg]"""
    code, found, _ = ballast(tmp_path_factory.mktemp("whole"), MAKER.stl(FACETS))
    assert code == 0
    return found["boat"]["target"]["mass_kg"]


def repaired(folder, facets, whole):
    """Notes on a repaired hull, whose bulb must equal that of the unbroken hull."""
    code, found, reported = ballast(folder, MAKER.stl(facets))
    assert (code, reported) == (0, [])
    assert found["boat"]["target"]["mass_kg"] == pytest.approx(whole, rel=1e-6)
    return [
        (one["severity"], f"{one['message']} {one['remedy']}")
        for one in found["findings"]
        if one["code"].startswith("hull-")
    ]


def refused(folder, content, lines=""):
    code, found, reported = ballast(folder, content, lines)
    assert (code, found) == (2, None)
    return reported


def test_a_small_hole_is_closed_and_said(tmp_path, whole):
    middle = int(np.argmin(np.linalg.norm(FACETS.mean(axis=1) - [475.0, 60.0, -20.0], axis=1)))
    assert repaired(tmp_path, np.delete(FACETS, [middle, middle + 1], axis=0), whole) == [
        (
            "note",
            "A small flat opening 25 mm long, with an area of 1.48 cm2, was found near x = 483.33, y = 61.324, "
            "z = -21.452 in the file. It was closed straight across.",
        ),
        (
            "note",
            "A small flat opening 25 mm long, with an area of 1.5 cm2, was found near x = 483.33, y = 69.493, "
            "z = -12.736 in the file. It was closed straight across.",
        ),
    ]


def test_a_large_hole_is_refused_with_its_place(tmp_path):
    away = np.linalg.norm(FACETS.mean(axis=1) - [475.0, 60.0, -20.0], axis=1) < 90.0
    assert refused(tmp_path, MAKER.stl(FACETS[~away])) == [
        "boat.hull (hull.stl) at 476.21, 42.994, -18.836: read The surface has a hole 200 mm across with 62 edges, near "
        "x = 476.21, y = 42.994, z = -18.836 in the file; expected a hull that can float on its design waterline. The "
        "hole is neither small and flat nor an open deck or transom. Close it in the modeller, or export the hull again "
        "if the file was cut short."
    ]


@pytest.mark.parametrize("deck", ["closed", "open"])
@pytest.mark.parametrize(("kept", "place"), [("fore", "700"), ("aft", "300")])
def test_a_hull_with_a_third_of_it_missing_is_refused_and_not_closed_flat(tmp_path, deck, kept, place):
    """The square cut leaves a flat opening at one end, like a transom, but below the waterline."""
    middles = FACETS.mean(axis=1)
    stays = middles[:, 0] < 700.0 if kept == "fore" else middles[:, 0] > 300.0
    if deck == "open":
        edge = MAKER.deck_edge(middles[:, 0])[0]
        stays &= middles[:, 2] < edge - 1.0
    (said,) = refused(tmp_path, MAKER.stl(FACETS[stays]))
    assert "mm long, near x = " in said
    assert " cm2 under water when seen end on" in said
    assert said.endswith(
        "The opening is too deep for a transom, so part of the hull is probably missing. Export the complete hull, or "
        "close that end in the modeller if the hull ends there."
    )
    if deck == "closed":
        assert said.startswith(f"boat.hull (hull.stl) at {place}, ")


def test_flipped_facets_are_turned_and_said(tmp_path, whole):
    facets = FACETS.copy()
    facets[100:300] = facets[100:300, ::-1]
    assert repaired(tmp_path, facets, whole) == [
        (
            "note",
            "200 facets faced the wrong way, the first at x = 141.67, y = 15.203, z = -19.694 in the file. They were "
            "reversed to match their neighbours.",
        )
    ]
    assert repaired(tmp_path, FACETS[:, ::-1], whole) == [
        ("note", "The surface was inside out. Every facet was reversed.")
    ]


def test_facets_given_twice_are_dropped_and_said(tmp_path, whole):
    assert repaired(tmp_path, np.concatenate([FACETS, FACETS[:200]]), whole) == [
        (
            "note",
            "200 facets were in the file more than once, the first at x = -8.3333, y = 0.11605, z = 2.3323 in the file. "
            "One copy of each was kept.",
        )
    ]


@pytest.mark.parametrize(
    ("other", "size", "middle"),
    [
        (FACETS + np.array([0.0, 400.0, 0.0]), "1000 x 200 x 145 mm", "x = 475, y = 400, z = 17.5"),
        (
            ((FACETS - [475.0, 0.0, 0.0]) * 0.9 + [475.0, 0.0, 0.0])[:, ::-1],
            "900 x 180 x 130.5 mm",
            "x = 475, y = 0, z = 15.75",
        ),
    ],
    ids=["side by side", "one inside the other"],
)
def test_two_shells_are_refused_with_both_named(tmp_path, other, size, middle):
    assert refused(tmp_path, MAKER.stl(np.concatenate([FACETS, other]))) == [
        "boat.hull (hull.stl): read The file contains 2 separate surfaces: 2 670 facets, 1000 x 200 x 145 mm, near x = "
        f"475, y = 0, z = 17.5 in the file; 2 670 facets, {size}, near {middle} in the file; expected a hull that can "
        "float on its design waterline. Leave only the hull's outside in the file: remove any inner skin, fittings and "
        "stray facets, and join parts that belong together."
    ]


@pytest.mark.parametrize("figure", [np.nan, np.inf])
def test_a_corner_that_is_no_number_is_refused_with_its_facet(tmp_path, figure):
    content = bytearray(MAKER.stl(FACETS))
    # Facet 58, its second corner's z: past the header, 57 records and the normal.
    start = 84 + 50 * 57 + 12 + 12 + 8
    content[start : start + 4] = np.float32(figure).tobytes()
    assert refused(tmp_path, bytes(content)) == [
        "boat.hull (hull.stl): read 1 facet has a corner that is not a finite number. The first is facet 58 of 2670; "
        "expected a hull that can float on its design waterline. The file is damaged, or the surface in the modeller "
        "has a broken patch there. Repair any broken patch, and export the hull again."
    ]


@pytest.mark.parametrize(
    ("content", "read"),
    [
        (b"", "a file too short for STL; expected a complete STL file. Save or copy the file again."),
        (
            MAKER.stl(FACETS[:0]),
            "The hull file contains no facets; expected a hull that can float on its design waterline. Select the hull "
            "surface in the modeller and export it again.",
        ),
        (
            b"solid hull\nendsolid hull\n" + 100 * b" ",
            "a file without facets; expected a faceted surface. Save the hull as a mesh, not as points or curves.",
        ),
    ],
    ids=["no byte", "no facet", "text without facets"],
)
def test_an_empty_file_is_refused(tmp_path, content, read):
    assert refused(tmp_path, content) == [f"boat.hull (hull.stl): read {read}"]


def _text(facets):
    lines = ["solid hull"]
    for facet in facets:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex " + " ".join(f"{value:.6f}" for value in corner) for corner in facet]
        lines += ["endloop", "endfacet"]
    return lines


def test_a_text_cut_short_is_refused(tmp_path):
    lines = _text(FACETS)
    tail = "; expected a text file that ends with endsolid. Save or copy the file again."
    assert refused(tmp_path, "\n".join(lines[: 7 * 1000 + 4]).encode()) == [
        f"boat.hull (hull.stl): read an STL text file that is cut short, in which 1001 facets begin and 1000 end{tail}"
    ]
    # Cut between two facets: only the end of the solid is wanting.
    assert refused(tmp_path, "\n".join(lines[: 7 * 1000 + 1]).encode()) == [
        "boat.hull (hull.stl): read an STL text file that is cut short, in which 1000 facets begin and 1000 end, "
        f"but the solid does not end{tail}"
    ]


def test_inches_taken_for_millimetres_are_reported_by_her_length_and_by_what_she_weighs(tmp_path, whole):
    content = MAKER.stl(FACETS / 25.4)
    length, weight, none_left = refused(tmp_path, content)
    assert length == (
        "boat.hull (hull.stl): read The design waterline is 0.0374 m long if the file's unit is mm; expected the right "
        'hull, read in the correct unit and the right way up. Correct the unit under [boat]: unit = "cm" makes it 0.374 m, '
        'unit = "in" makes it 0.95 m.'
    )
    assert weight == (
        "boat.unit: read a hull that displaces 165.9 g when read in millimetres, while everything but the bulb weighs "
        "1881.0 g; expected a boat whose mass without the bulb is a reasonable fraction of her displacement. If the file "
        'is in inches, set unit = "in": she would then displace 3109.1 g.'
    )
    assert none_left.startswith(
        "boat.hull: read figures for the boat and the weights that leave nothing for a bulb;"
    )
    # What is reported repairs it.
    code, found, _ = ballast(tmp_path, content, '\nunit = "in"')
    assert code == 0
    assert found["boat"]["target"]["mass_kg"] == pytest.approx(whole, rel=1e-5)


def test_millimetres_taken_for_inches_are_reported_likewise(tmp_path, whole):
    reported = refused(tmp_path, MAKER.stl(FACETS), '\nunit = "in"')
    assert reported[0] == (
        "boat.hull (hull.stl): read The design waterline is 24.13 m long if the file's unit is in; expected the right "
        'hull, read in the correct unit and the right way up. Correct the unit under [boat]: unit = "mm" makes it 0.95 m.'
    )
    assert reported[1].endswith(
        'If the file is in millimetres, set unit = "mm": she would then displace 3109.1 g.'
    )


def test_a_stated_waterline_names_the_unit_outright(tmp_path):
    reported = refused(tmp_path, MAKER.stl(FACETS / 25.4), '\nwaterline_length = "950 mm"')
    assert reported[0] == (
        "boat.hull (hull.stl): read The plan gives a design waterline of 0.95 m, but the file makes it 0.0374 m, 25.4 times "
        "too short; expected the right hull, read in the correct unit and the right way up. Correct the unit under [boat]: "
        'unit = "in" makes it 0.95 m.'
    )


def test_a_hull_too_large_for_her_weights_is_a_stop_even_where_a_bulb_can_be_found(tmp_path):
    # In centimetres she displaces a thousand times as much; a tip chord and a draught of that size make room for the bulb.
    words = TEXT.replace('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"\nunit = "cm"')
    words = words.replace('tip_chord = "72 mm"', 'tip_chord = "800 mm"').replace('"140 mm"', '"5 m"')
    words = words.replace('overhang_aft = "180 mm"', 'overhang_aft = "5 m"')
    words = words.replace('tip_leading_edge_x = "484 mm"', 'tip_leading_edge_x = "4840 mm"')
    words = words.replace('root_chord = "88 mm"', 'root_chord = "880 mm"')
    words = words.replace('root_leading_edge_x = "470 mm"', 'root_leading_edge_x = "4700 mm"')
    (tmp_path / "hull.stl").write_bytes(MAKER.stl(FACETS))
    (tmp_path / "plan.toml").write_text(words, encoding="utf-8")
    done = command("ballast", tmp_path / "plan.toml", "--json")
    assert done.exit_code == 3, done.output
    finding = next(one for one in json.loads(done.stdout)["findings"] if one["code"] == "hull-unit-doubtful")
    assert finding["severity"] == "stop"
    assert finding["remedy"].startswith(
        'If the file is in millimetres, set unit = "mm": she would then displace '
    )


def test_upside_down_is_reported(tmp_path):
    reported = refused(tmp_path, MAKER.stl(FACETS * [1.0, -1.0, -1.0]))
    assert reported[0] == (
        "boat.hull (hull.stl): read The centre of the hull's sections is at 41 % of their height. Hulls are fuller "
        "above than below, so it should be at 50 % or more; expected the right hull, read in the correct unit and the "
        "right way up. If the hull is upside down, correct the axis that points up. A mast or a cabin in the file can "
        "also cause this."
    )


def test_millions_of_facets_are_refused_with_a_number_that_would_do(tmp_path):
    many = np.repeat(FACETS, 1 + 2_000_000 // COUNT, axis=0)
    assert refused(tmp_path, MAKER.stl(many)) == [
        "boat.hull (hull.stl): read The hull has 2 002 500 facets; the limit is 1 000 000 facets; expected a "
        "hull that can float on its design waterline. Save the hull as a coarser mesh; 20 000 facets give its "
        "displacement to about 0.05 %."
    ]
