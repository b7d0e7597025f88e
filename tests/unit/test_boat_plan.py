"""Sizing the bulb from the boat: keys, hull files, a round trip, the ballast command, and the full text of every error."""

from __future__ import annotations

import json
import math
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
import trimesh
from plans import EXAMPLES, command

EXAMPLE = EXAMPLES / "larkmoss.toml"
FRESH = 999.10

BARE = """\
name = "Reedcutter"
[water]
density = "1000 kg/m3"
[boat]
hull_displacement = "4 kg"
waterline_length = "900 mm"
buoyancy_x = "460 mm"
[[weights]]
name = "all of her"
mass = "1.9 kg"
x = "440 mm"
z = "20 mm"
state = "weighed"
[bulb]
profile = "spheroid"
fineness = 6.0
tail_diameter = "0 mm"
[alloy]
density = "11 g/cm3"
porosity = "0 %"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
tip_leading_edge_x = "450 mm"
tip_z = "-330 mm"
root_chord = "90 mm"
root_thickness = "9 mm"
root_leading_edge_x = "435 mm"
root_z = "-40 mm"
density = "1.5 g/cm3"
"""
KNOWN = """\
buoyancy_z = "-20 mm"
waterplane_area = "1100 cm2"
flotation_x = "480 mm"
metacentric_radius = "60 mm"
metacentric_radius_along = "1.5 m"
"""


def written(folder: Path, text: str, *changes: tuple[str, str]) -> Path:
    """Path to a plan with some texts replaced; each of them must occur in it."""
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    return path


def said(folder: Path, text: str, *changes: tuple[str, str]) -> list[str]:
    """Error messages for a faulty plan, without the file name."""
    path = written(folder, text, *changes)
    done = command("ballast", path)
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    return [
        line.removeprefix(f"{path}: ") for line in done.stderr.splitlines() if line.startswith(f"{path}: ")
    ]


def planned(folder: Path, text: str, *changes: tuple[str, str], code: int = 0) -> dict[str, Any]:
    done = command("plan", written(folder, text, *changes), "--json")
    assert done.exit_code == code, done.output
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def example(folder: Path) -> str:
    """Text of the example, with its table copied to the plan's folder."""
    name = "larkmoss-offsets.csv"
    (folder / name).write_bytes((EXAMPLES / name).read_bytes())
    return EXAMPLE.read_text(encoding="utf-8")


def fin_of(plan: dict[str, float]) -> tuple[float, float]:
    """Volume and centroid x of a tapered NACA four-digit fin, by simple slices. [m3], [m]"""
    x = (np.arange(4000) + 0.5) / 4000.0
    half = 5.0 * (0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
    area, first = 2.0 * half.mean(), 2.0 * (half * x).mean()
    s = (np.arange(2000) + 0.5) / 2000.0
    chord = plan["root_chord"] + s * (plan["tip_chord"] - plan["root_chord"])
    thick = plan["root_thickness"] + s * (plan["tip_thickness"] - plan["root_thickness"])
    lead = plan["root_x"] + s * (plan["tip_x"] - plan["root_x"])
    slices = area * chord * thick * plan["span"] / 2000.0
    volume = slices.sum()
    return volume, float((slices * (lead + first / area * chord)).sum() / volume)


# The loop closed


def test_a_plain_bulb_is_the_closed_form_of_archimedes(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE)
    volume, x = fin_of(
        {
            "root_chord": 0.090, "tip_chord": 0.070, "root_thickness": 0.009, "tip_thickness": 0.007,
            "root_x": 0.435, "tip_x": 0.450, "span": 0.290,
        }
    )  # fmt: skip
    # A spheroid without pocket, screws and skin displaces its own lead's volume at its own centre.
    mass = (4.0 + 1000.0 * volume - 1.9 - 1500.0 * volume) / (1.0 - 1000.0 / 11000.0)
    moment = 4.0 * 0.460 + (1000.0 - 1500.0) * volume * x - 1.9 * 0.440
    assert plan["bulb"]["hung_mass_kg"] == pytest.approx(mass, rel=2e-6)
    wanted = moment / (mass * (1.0 - 1000.0 / 11000.0))
    assert plan["bulb"]["mass_centre_m"]["x"] == pytest.approx(wanted, abs=2e-6)
    assert plan["boat"]["target"]["lead_alone_kg"] == pytest.approx(plan["bulb"]["hung_mass_kg"], rel=1e-9)


def test_the_shaped_bulb_floats_her_level_on_her_line_to_a_millionth(tmp_path: Path) -> None:
    plan = planned(tmp_path, example(tmp_path))
    boat, bulb = plan["boat"], plan["bulb"]
    volume, x = fin_of(
        {
            "root_chord": 0.088, "tip_chord": 0.072, "root_thickness": 0.009, "tip_thickness": 0.008,
            "root_x": 0.470, "tip_x": 0.484, "span": 0.318,
        }
    )  # fmt: skip
    blade, blade_x = fin_of(
        {
            "root_chord": 0.048, "tip_chord": 0.034, "root_thickness": 0.005, "tip_thickness": 0.004,
            "root_x": 0.882, "tip_x": 0.890, "span": 0.137,
        }
    )  # fmt: skip
    weights = [(one["mass_kg"], one["place_m"]["x"]) for one in boat["weights"]]
    weights.append((bulb["hung_mass_kg"], bulb["mass_centre_m"]["x"]))
    water = [
        (FRESH * boat["hull"]["displaced_volume_m3"], boat["hull"]["buoyancy_x_m"]),
        (FRESH * volume, x),
        (FRESH * blade, blade_x),
        (FRESH * bulb["displacement_m3"], boat["bulb_displacement_x_m"]),
    ]
    total = sum(mass for mass, _ in water)
    assert sum(mass for mass, _ in weights) == pytest.approx(total, rel=1e-6)
    centre = sum(mass * at for mass, at in weights) / total
    assert centre == pytest.approx(sum(mass * at for mass, at in water) / total, abs=1e-6)
    assert [one["mass_kg"] for one in boat["weights"]] == [
        0.742,
        0.318,
        0.118,
        0.236,
        0.022,
        0.085,
        0.06,
        0.268,
        0.032,
    ]


def test_an_imposed_mass_sinks_her_by_its_excess_over_mass_per_immersion(tmp_path: Path) -> None:
    given = ('buoyancy_x = "460 mm"\n', 'buoyancy_x = "460 mm"\n' + KNOWN)
    free = planned(tmp_path, BARE, given)
    plan = planned(tmp_path, BARE, given, ("fineness", 'target_mass = "2.6 kg"\nfineness'))
    over = (2.6 - free["bulb"]["hung_mass_kg"]) * (1.0 - 1000.0 / 11000.0)
    assert plan["boat"]["sinkage_m"] == pytest.approx(over / (1000.0 * 0.11), rel=1e-9)
    # Over the centre of flotation, or the place would not level her.
    at = (
        free["bulb"]["hung_mass_kg"] * free["bulb"]["mass_centre_m"]["x"] * (1.0 - 1.0 / 11.0) + over * 0.480
    ) / (2.6 * (1.0 - 1.0 / 11.0))
    assert plan["bulb"]["mass_centre_m"]["x"] == pytest.approx(at, abs=1e-8)
    finding = next(one for one in plan["findings"] if one["code"] == "overloaded")
    assert finding["severity"] == "hold"

    assert plan["boat"]["trim_by_stern_m"] == pytest.approx(0.0, abs=1e-9)


def test_an_imposed_mass_settles_where_the_hull_tells_no_more_than_displacement(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE, ("fineness", 'target_mass = "1 kg"\nfineness'))
    rest = (
        4.0 * 0.460
        + (1000.0 - 1500.0) * plan["boat"]["fin"]["volume_m3"] * plan["boat"]["fin"]["volume_centre_x_m"]
    )
    rest -= 1.9 * 0.440
    apparent = 1.0 - 1000.0 / 11000.0
    light = 4.0 - 1.9 - 500.0 * plan["boat"]["fin"]["volume_m3"] - apparent
    assert -plan["boat"]["too_heavy_kg"] == pytest.approx(light, rel=1e-9)
    volume = 0.004 + plan["boat"]["fin"]["volume_m3"]
    about = (
        0.004 * 0.460 + plan["boat"]["fin"]["volume_m3"] * plan["boat"]["fin"]["volume_centre_x_m"]
    ) / volume
    level = (rest - light * about) / apparent
    assert plan["boat"]["reach"]["wanted_x_m"] == pytest.approx(level, abs=1e-9)


def test_an_imposed_place_trims_her_by_its_moment(tmp_path: Path) -> None:
    given = ('buoyancy_x = "460 mm"\n', 'buoyancy_x = "460 mm"\n' + KNOWN)
    free = planned(tmp_path, BARE, given)
    plan = planned(tmp_path, BARE, given, ('tip_z = "-330 mm"', 'tip_z = "-330 mm"\ncarry_at = 0.2'))
    moved = 0.450 + 0.2 * 0.070 - free["bulb"]["mass_centre_m"]["x"]
    apparent = plan["bulb"]["hung_mass_kg"] * (1.0 - 1.0 / 11.0)
    boat = plan["boat"]
    # GM lengthways from the figures given: centre of buoyancy, BM and mass centre by hand.
    fin = (boat["fin"]["volume_m3"], boat["fin"]["volume_centre_z_m"])
    lead = (plan["bulb"]["displacement_m3"], plan["bulb"]["axis_z_m"])
    volume = 0.004 + fin[0] + lead[0]
    buoyancy = (0.004 * -0.020 + fin[0] * fin[1] + lead[0] * lead[1]) / volume
    mass = (1.9 * 0.020 + 1500.0 * fin[0] * fin[1] + plan["bulb"]["hung_mass_kg"] * lead[1]) / (
        1000.0 * volume
    )
    along = buoyancy + 1.5 * 0.004 / volume - mass
    trim = apparent * moved * 0.9 / (1000.0 * volume * along)
    assert boat["trim_by_stern_m"] == pytest.approx(trim, rel=1e-6)
    assert boat["metacentric_height_m"] == pytest.approx(buoyancy + 0.06 * 0.004 / volume - mass, abs=1e-9)
    assert boat["target"]["mass_kg"] == pytest.approx(free["bulb"]["hung_mass_kg"], rel=1e-9)


def test_what_can_stay_ashore_makes_the_heaviest_bulb_heavier_by_its_weight_in_lead_under_water(
    tmp_path: Path,
) -> None:
    ashore = ('[bulb]', '[[weights]]\nname = "spare lead"\nmass = "100 g"\nx = "440 mm"\nz = "0 mm"\n'
              'can_stay_ashore = "yes"\n[bulb]')  # fmt: skip
    plan = planned(tmp_path, BARE, ashore)
    more = plan["boat"]["heaviest_bulb_kg"] - plan["bulb"]["hung_mass_kg"]
    assert more == pytest.approx(0.1 / (1.0 - 1.0 / 11.0), rel=1e-6)


# Reach


def test_beyond_the_allowed_overhang_is_a_stop_with_its_remedies(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        BARE,
        ('buoyancy_x = "460 mm"\n', 'buoyancy_x = "460 mm"\n' + KNOWN),
        (
            'state = "weighed"\n',
            'state = "weighed"\nmovable_forward_to = "400 mm"\nmovable_aft_to = "480 mm"\n',
        ),
        ('tip_leading_edge_x = "450 mm"', 'tip_leading_edge_x = "450 mm"\noverhang_aft = "60 mm"'),
        code=3,
    )
    finding = next(one for one in plan["findings"] if one["severity"] == "stop")
    boat = plan["boat"]
    assert finding["code"] == "bulb-out-of-reach"
    assert finding["limit"] == pytest.approx(boat["reach"]["aft_x_m"], abs=1e-9)
    assert finding["found"] == pytest.approx(boat["reach"]["wanted_x_m"], abs=1e-9)
    # The tail stands out as far as it may.
    tail = plan["bulb"]["nose_x_m"] + plan["bulb"]["length_m"]
    assert tail == pytest.approx(0.450 + 0.070 + 0.060, abs=1e-8)
    apparent = plan["bulb"]["hung_mass_kg"] * (1.0 - 1.0 / 11.0)
    short = finding["found"] - finding["limit"]
    move = 440.0 + 1e3 * apparent * short / 1.9
    # A tenth of a millimetre up, so that what is typed is enough.
    up = math.ceil(10.0 * move) / 10.0
    assert finding["remedy"].startswith(f"Do one of these: move all of her aft to x = {up:.1f} mm; ")
    # What the finding promises is so: with the weight moved there she is within reach.
    repaired = planned(
        tmp_path,
        BARE,
        ('x = "440 mm"', f'x = "{move + 0.01:.6f} mm"'),
        ('tip_leading_edge_x = "450 mm"', 'tip_leading_edge_x = "450 mm"\noverhang_aft = "60 mm"'),
    )
    assert not [one for one in repaired["findings"] if one["code"] == "bulb-out-of-reach"]


def test_a_bulb_without_a_place_under_the_fin_is_reported_how_long_it_may_be(tmp_path: Path) -> None:
    over = ('tip_z = "-330 mm"', 'tip_z = "-330 mm"\noverhang_forward = "70 mm"\noverhang_aft = "60 mm"')
    assert said(tmp_path, BARE, over) == [
        "bulb: read a bulb 241.0 mm long under a tip chord of 70.0 mm; expected a bulb that extends past both "
        "ends of the tip, "
        "but no further than the allowed overhangs. Choose a fineness or length that makes the bulb 70.0 mm to 200.0 mm "
        "long, or allow more overhang."
    ]
    wide = ('tip_chord = "70 mm"', 'tip_chord = "300 mm"')
    (message,) = said(tmp_path, BARE, wide)
    assert message.startswith("bulb: read a bulb 237.5 mm ")
    assert message.endswith(
        "long under a tip chord of 300.0 mm; expected a bulb that extends past both ends of the tip. Choose a fineness "
        "or length that makes the bulb at least 300.0 mm long."
    )


def test_she_that_does_not_stand_upright_is_a_stop(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        BARE,
        ('buoyancy_x = "460 mm"\n', 'buoyancy_x = "460 mm"\n' + KNOWN),
        ('z = "20 mm"', 'z = "600 mm"'),
        code=3,
    )
    stop = next(one for one in plan["findings"] if one["code"] == "will-not-stand")
    assert stop["found"] == plan["boat"]["metacentric_height_m"] < 0.0


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('name = "all of her"', 'name = "Fin"', "fin-counted-twice"),
        ('density = "1.5 g/cm3"\n', "", "fin-mass-not-given"),
        ('mass = "1.9 kg"\nx = "440 mm"', 'mass = "3.4 kg"\nx = "460 mm"', "ballast-ratio-unusual"),
        ('state = "weighed"', 'state = "to come"', "weights-to-come"),
        ('state = "weighed"', 'state = "estimated"', "target-uncertain"),
        ("[[weights]]", KNOWN + '[[weights]]\ny = "30 mm"', "lists"),
    ],
)
def test_each_finding_on_the_boat_has_its_cause_and_goes_with_it(
    tmp_path: Path, old: str, new: str, code: str
) -> None:
    found = {one["code"] for one in planned(tmp_path, BARE, (old, new))["findings"]}
    assert code in found
    assert code not in {one["code"] for one in planned(tmp_path, BARE)["findings"]}


# Hull files


@pytest.mark.parametrize("ending", [".stl", ".obj", ".ply", " text.stl"])
def test_a_surface_gives_the_same_bulb_in_every_format(
    tmp_path: Path, maker: ModuleType, ending: str
) -> None:
    facets = maker.surface(40, 16)
    text = example(tmp_path)
    (tmp_path / "hull.stl").write_bytes(maker.stl(facets))
    first = planned(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"'))
    mesh = trimesh.load(tmp_path / "hull.stl")
    name = f"other{ending}"
    mesh.export(tmp_path / name, file_type="stl_ascii" if "text" in ending else ending[1:])
    again = planned(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', f'hull = "{name}"'))
    assert again["bulb"]["hung_mass_kg"] == pytest.approx(first["bulb"]["hung_mass_kg"], rel=1e-6)
    # The table is coarse: what the two ways differ by stays within three parts in a hundred.
    table = planned(tmp_path, text)
    assert first["boat"]["displacement_kg"] == pytest.approx(table["boat"]["displacement_kg"], rel=0.03)


def test_unit_scale_level_and_axes_bring_another_modellers_file_home(
    tmp_path: Path, maker: ModuleType
) -> None:
    facets = maker.surface(40, 16)
    text = example(tmp_path)
    (tmp_path / "hull.stl").write_bytes(maker.stl(facets))
    first = planned(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"'))
    # In inches, at four times the size, z aft and y up, the waterline at 10 in.
    inches = facets / 25.4 * 4.0
    other = np.stack([inches[..., 1], inches[..., 2] + 10.0, inches[..., 0]], axis=-1)
    (tmp_path / "other.stl").write_bytes(maker.stl(other))
    lines = (
        'hull = "other.stl"\nunit = "in"\nscale = 0.25\nwaterline = "10 in"\naft_axis = "z"\nup_axis = "y"'
    )
    again = planned(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', lines))
    assert again["bulb"]["hung_mass_kg"] == pytest.approx(first["bulb"]["hung_mass_kg"], rel=1e-5)
    assert again["bulb"]["mass_centre_m"]["x"] == pytest.approx(first["bulb"]["mass_centre_m"]["x"], abs=1e-5)


def test_one_side_of_a_hull_is_the_whole_of_it(tmp_path: Path, maker: ModuleType) -> None:
    facets = maker.surface(40, 16)
    text = example(tmp_path)
    (tmp_path / "hull.stl").write_bytes(maker.stl(facets))
    whole = planned(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"'))
    side = trimesh.Trimesh(*trimesh.triangles.to_kwargs(facets).values()).slice_plane([0, 0, 0], [0, 1, 0])
    (tmp_path / "side.stl").write_bytes(maker.stl(np.asarray(side.triangles)))
    half = planned(
        tmp_path, text, ('offsets = "larkmoss-offsets.csv"', 'hull = "side.stl"\nmodelled = "half"')
    )
    assert half["bulb"]["hung_mass_kg"] == pytest.approx(whole["bulb"]["hung_mass_kg"], rel=1e-5)


def test_a_hull_file_that_cannot_be_used_is_reported_in_one_message(
    tmp_path: Path, maker: ModuleType
) -> None:
    text = example(tmp_path)
    facets = maker.surface(20, 8)
    whole = maker.stl(facets)
    count = len(facets)
    (tmp_path / "short.stl").write_bytes(whole[:-25])
    (tmp_path / "empty.stl").write_bytes(b"")
    lines = ["solid hull"]
    for corners in facets[:3]:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex " + " ".join(f"{value:g}" for value in corner) for corner in corners]
        lines += ["endloop", "endfacet"]
    (tmp_path / "text.stl").write_text("\n".join(lines[:-1]), encoding="ascii")
    (tmp_path / "spoilt.obj").write_text("v 0 0\nf 1 2 3\n", encoding="ascii")

    def of(name: str) -> list[str]:
        return said(tmp_path, text, ('offsets = "larkmoss-offsets.csv"', f'hull = "{name}"'))

    assert of("short.stl") == [
        f"boat.hull (short.stl): read an STL file that is cut short or damaged, with {count - 1} of its {count} "
        f"facets; expected a complete STL file. Save or copy the file again."
    ]
    assert of("empty.stl") == [
        "boat.hull (empty.stl): read a file too short for STL; expected a complete STL file. Save or copy the file again."
    ]
    assert of("text.stl") == [
        "boat.hull (text.stl): read an STL text file that is cut short, in which 3 facets begin and 2 end; expected a "
        "text file that ends with endsolid. Save or copy the file again."
    ]
    assert of("hull.step") == [
        'boat.hull (hull.step): read a file whose name ends in ".step"; expected a surface in STL, OBJ, PLY or 3MF. '
        "Save the hull from the modeller in one of these formats."
    ]
    assert of("none.stl") == [
        "boat.hull (none.stl): read nothing (No such file or directory); expected a file next to the plan. "
        "Fix the name: it is relative to the plan file's folder."
    ]
    (message,) = of("spoilt.obj")
    assert message.startswith("boat.hull (spoilt.obj): read a file ")
    assert "Traceback" not in message


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "keel_mm",
            "rocker_mm",
            'read a column headed "rocker_mm"; expected headings such as x_mm, keel_mm, sheer_mm, sheer_half_mm, and '
            "wl_-20_mm for each waterline. Fix the heading: it must end with its unit (mm, cm, m, in or ft). In the "
            "heading of a waterline, put the height before the unit.",
        ),
        (
            "wl_-48_mm",
            "wl_-36_mm",
            "read wl -9/250 more than once; expected one column x, and no column more than once. Fix the heading.",
        ),
        (
            "-25,6.570",
            "-25,much",
            'read "much" in row 2, column keel; expected a plain decimal number. Write the number without a unit; '
            "the heading gives the unit.",
        ),
        (
            "-25,6.570,",
            "-25,",
            "read row 2 with 13 cells; expected 14, one for each column of the heading. Use a decimal point, and leave"
            " a cell empty if the hull has no point there.",
        ),
    ],
)
def test_a_faulty_table_is_reported_with_its_place(tmp_path: Path, old: str, new: str, message: str) -> None:
    text = example(tmp_path)
    table = tmp_path / "larkmoss-offsets.csv"
    content = table.read_text(encoding="utf-8")
    assert old in content
    table.write_text(content.replace(old, new, 1), encoding="utf-8")
    assert said(tmp_path, text) == [f"boat.offsets (larkmoss-offsets.csv): {message}"]


# Keys


@pytest.mark.parametrize(
    ("changes", "messages"),
    [
        (
            [('hull_displacement = "4 kg"\n', "")],
            ["[boat]: read no hull; expected exactly one of hull, offsets and hull_displacement. Add, "
                'for example, displacement = "4.2 kg" (all up, including the fin, bulb and rudder), hull = "hull.stl", '
                'offsets = "hull-offsets.csv" or hull_displacement = "3.9 kg" (the hull alone). All except '
                "displacement also need the fin from hull to tip: root_chord, root_thickness, "
                "root_leading_edge_x, root_z, tip_leading_edge_x and tip_z under [fin]."],
        ),
        (
            [("[boat]\n", '[boat]\nhull = "a.stl"\n')],
            ["[boat]: read hull and hull_displacement together; expected exactly one of hull, offsets and "
                "hull_displacement. Keep the one you trust most and remove the rest."],
        ),
        (
            [("[boat]\n", '[boat]\nunit = "mm"\n')],
            ["boat.unit: read unit with hull_displacement; expected unit only with hull. Remove unit: "
                "hull_displacement either gives it or does not use it."],
        ),
        (
            [('root_z = "-40 mm"\n', "")],
            ["fin.root_z: read nothing; expected a length from -50 m to 50 m, which the boat needs, since "
                'the fin displaces water and sets where the bulb hangs. Add root_z = "-50 mm", say, under '
                "[fin]."],
        ),
        (
            [('root_z = "-40 mm"', 'root_z = "-400 mm"')],
            ['fin.tip_z: read tip_z = "-330 mm" with root_z = "-400 mm"; expected a tip below the root. '
                "Measure heights upwards from the waterline; those under water are negative."],
        ),
        (
            [('density = "1.5 g/cm3"', 'density = "1.5 g/cm3"\nmass = "300 g"')],
            ["[fin]: read mass and density together; expected one of the two. Keep mass if the fin has "
                "been weighed, and density if it has not."],
        ),
        (
            [('state = "weighed"', 'state = "hoped"')],
            ['weights[1].state: read "hoped"; expected one of "weighed", "estimated" or "to come". Write '
                'state = "estimated", say. "weighed": on a scale; "estimated": from a drawing, a catalogue '
                'or a guess; "to come": not built or bought yet.'],
        ),
        (
            [('mass = "1.9 kg"\n', "")],
            ["weights[1].mass: read nothing; expected a mass from 0 g to 1000 t. Add mass = \"120 g\", say, in this "
             "[[weights]]."],
        ),
        (
            [('state = "weighed"', 'movable_aft_to = "500 mm"')],
            ["weights[1].movable_forward_to: read nothing; expected both ends of its range of movement, "
                "or neither. Add it. If the weight cannot move in this direction, give its x here."],
        ),
        (
            [('state = "weighed"', 'movable_forward_to = "500 mm"\nmovable_aft_to = "600 mm"')],
            ['weights[1].x: read x = "440 mm" with movable_forward_to = "500 mm" and movable_aft_to = '
                "\"600 mm\"; expected a position between the two. Fix the limits so that the weight's position "
                "is between them."],
        ),
        (
            [('mass = "1.9 kg"', 'mass = "4.2 kg"')],
            ['weights[1].mass: read "all of her" of 4200.0 g, which brings the mass of everything but the bulb to 4391.7 g; '
             "expected weights that leave room for a bulb within her displacement of 4000.0 g. If you typed "
             "kilograms for pounds, the mass is 1905.1 g. Write that mass instead.",
             "boat.hull_displacement: read figures for the boat and the weights that leave nothing for a bulb; expected "
             "a displacement at the design waterline greater than the boat's mass without the bulb"
             ". Nothing is left for the bulb: at her line the boat displaces 4.12781 "
             "kg, and without the lead she already weighs 4.39172 kg. Remove 0.263907 kg or more, or raise "
             "her waterline."],
        ),
        (
            [('buoyancy_x = "460 mm"', 'buoyancy_x = "960 mm"')],
            ["[boat]: read The centre of buoyancy at 960 mm is outside the design waterline, which runs from 0 to 900 "
                "mm; expected a hull that can float on its design waterline. Measure it aft from the forward end of "
                "the design waterline."],
        ),
    ],
)  # fmt: skip
def test_a_fault_of_the_boat_is_reported_in_one_whole_message(
    tmp_path: Path, changes: list[tuple[str, str]], messages: list[str]
) -> None:
    assert said(tmp_path, BARE, *changes) == messages


def test_weights_and_a_whole_fin_belong_with_the_boat(tmp_path: Path) -> None:
    start, _, rest = BARE.partition("[boat]\n")
    text = start + "[[weights]]\n" + rest.partition("[[weights]]\n")[2]
    messages = said(tmp_path, text.replace("fineness", 'target_mass = "2 kg"\nfineness'))
    assert messages[0] == (
        "[[weights]]: read weights without [boat]; expected both [boat] and [[weights]], or neither. Add [boat] with "
        "her displacement or hull, or remove the weights and give bulb.target_mass."
    )
    root = (
        "fin.root_chord: read root_chord without [boat]; expected root_chord only if the boat is given. "
        "Remove root_chord, or add [boat] with the hull."
    )
    assert root in messages
    assert len(messages) == 6


# The command


def test_ballast_says_what_the_bulb_must_be_and_that_it_is_no_stability_assessment() -> None:
    done = command("ballast", EXAMPLE)
    assert done.exit_code == 0, done.output
    found = json.loads(command("ballast", EXAMPLE, "--json").stdout)["boat"]
    mass, x = 1e3 * found["target"]["mass_kg"], 1e3 * found["target"]["x_m"]
    spread = 1e3 * found["target"]["mass_spread_kg"]
    assert (
        f"The hung mass (bulb, screws and filling) must be {mass:.1f} g, give or take {spread:.1f} g"
        in done.stdout
    )
    assert f"its mass centre {x:.1f} mm aft of" in " ".join(done.stdout.split())
    assert " ".join(done.stdout.split()).casefold().count("not a stability assessment") == 1
    for heading in (
        "Weight list",
        "Weigh next, in this order",
        "From displacement to bulb",
        "Where the bulb must hang",
    ):
        assert f"\n{heading}\n" in done.stdout
    spread = math.sqrt(sum(one["mass_spread_kg"] ** 2 for one in found["weights"]))
    assert found["weigh_in_spread_kg"] == pytest.approx(spread, rel=1e-12)


def test_ballast_without_a_boat_says_how_to_give_one() -> None:
    plan = EXAMPLES / "fenwisp.toml"
    done = command("ballast", plan)
    assert done.exit_code == 2
    assert done.stderr == (
        f"{plan}: [boat]: read nothing; expected the boat for which the bulb is made. Add [boat] with "
        'displacement = "4.2 kg" (all up), hull = "hull.stl" or offsets = "hull-offsets.csv", and [[weights]] '
        "for everything aboard except the bulb."
        "\n"
    )


def test_a_hull_of_bare_numbers_says_what_it_cannot_tell(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE)
    note = next(one for one in plan["findings"] if one["code"] == "trim-not-told")
    assert note["message"] == (
        "The effect of a weight on trim cannot be calculated without the hull's vertical centre of buoyancy, waterplane "
        "area, centre of flotation, longitudinal BM."
    )
    assert plan["boat"]["metacentric_height_m"] is None


def test_the_report_has_the_ballast_ledger_only_with_a_boat(tmp_path: Path) -> None:
    for name, has in (("larkmoss", True), ("fenwisp", False)):
        out = tmp_path / name
        assert command("plan", EXAMPLES / f"{name}.toml", "--out", out).exit_code == 0
        page = (out / "report.html").read_text(encoding="utf-8")
        assert ('id="ballast"' in page) is has
        assert (page.casefold().count("not a stability assessment") == 1) is has
        assert ("boat" in json.loads((out / "plan.json").read_text(encoding="utf-8"))) is has


def test_compare_varies_a_plan_with_its_boat_and_leaves_the_weigh_in_alone(tmp_path: Path) -> None:
    plan = written(tmp_path, example(tmp_path))
    done = command("compare", plan, "--vary", "bulb.fineness=5,7", "--json")
    assert done.exit_code == 0, done.output
    rows = json.loads(done.stdout)["rows"]
    assert len(rows) == 2
    refused = command("compare", plan, "--vary", "boat.scale=1,2")
    assert refused.exit_code == 2
    assert refused.stderr == (
        "--vary: boat.scale: read a key of the weight list or of the hull file; expected a key that can be varied. "
        "Change it in the plan and see what bulbcast ballast reports.\n"
    )


def test_a_moment_that_is_shown_as_nothing_has_no_way(tmp_path, monkeypatch):
    # A narrow terminal leaves the remarks out.
    monkeypatch.setenv("COLUMNS", "110")
    text = (EXAMPLES / "fenwisp.toml").read_text(encoding="utf-8")
    at = next(line for line in text.splitlines() if line.startswith("carry_at"))
    plan = tmp_path / "plan.toml"
    for place, words in (("0.36592", "0.000 N m none"), ("0.46", "tail down, leading edge up")):
        plan.write_text(text.replace(at, f"carry_at = {place}"), encoding="utf-8")
        done = command("plan", plan, "--out", tmp_path / "out", "--replace", "--full")
        assert words in " ".join(done.stdout.split()), done.output
