"""Exact text of the pattern shop's findings, each from a plan that causes it, and each cleared by its fix."""

from __future__ import annotations

import re

import pytest

from bulbcast.findings import Severity, rules
from bulbcast.job import run
from bulbcast.pattern_shop.measured import with_pieces
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan_table


def table_for(**changes):
    table = {
        "bulb": {"target_mass": "700 g", "fineness": 5.5, "tail_diameter": "3.5 mm"},
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": "46 mm",
            "tip_thickness": "6 mm",
            "pocket_depth": "5 mm",
            "material": "metal",
        },
        "pattern": {"finish": "0.3 mm", "coat": "0.1 mm"},
    }
    for key, value in changes.items():
        section, _, leaf = key.partition("__")
        table.setdefault(section, {})[leaf] = value
    return table


def measured(**changes):
    return with_pieces(run(read_plan_table(table_for(**changes), source="shop.toml", sha256="0")))[0]


def said(code, **changes):
    found = [one for one in measured(**changes).findings if one.code == code]
    assert len(found) == 1, found
    return found[0]


CASES = {
    "off the diagonal": (
        {"printer__position": "lying", "printer__pieces": 1, "printer__bed_length": "90 mm", "printer__bed_width": "90 mm"},
        "piece-off-bed", Severity.STOP,
        "The pattern, printed lying, is 163.9 mm long and does not fit the bed, which is 80.0 mm by 80.0 mm by 250.0 mm "
        "within its margins and 113.1 mm from corner to corner.",
        'Set pieces = 2 and position = "lying" under [printer].',
    ),
    "too high": (
        {"printer__position": "standing", "printer__pieces": 1, "printer__bed_height": "90 mm"},
        "piece-off-bed", Severity.STOP,
        "The pattern, printed standing, is 163.9 mm long and does not fit the bed, which is 210.0 mm by 210.0 mm by 90.0 mm "
        "high within its margins.",
        'Set pieces = 3 and position = "standing" under [printer].',
    ),
    "on its tail": (
        {"printer__position": "standing"},
        "stands-on-its-tail", Severity.CAUTION,
        "Printed on end in one piece, the pattern stands on its tail, which is 3.54 mm across. It needs supports, "
        "and it shakes as it grows.",
        'Set pieces = 2 under [printer], so that both pieces stand on the joint, or position = "lying".',
    ),
    "slender": (
        {"printer__position": "standing", "printer__pieces": 2, "bulb__fineness": 9.0},
        "piece-slender", Severity.CAUTION,
        "A piece on end is 11.2 times as high as its foot is wide; the limit for stability is 8 times.",
        "Set a larger number of pieces under [printer], or print the piece slowly and with a wide brim.",
    ),
    "joint in a cut to come": (
        {"printer__position": "standing", "printer__pieces": 2, "printer__bed_height": "100 mm", "fin__tip_chord": "80 mm"},
        "joint-in-cut", Severity.NOTE,
        "With 2 pieces, a joint runs through the pocket: the cut is made later in the lead, and the line of the joint "
        "will be visible where you mark it out.",
        "Set pieces = 3 under [printer], which keeps the joints clear of the cuts.",
    ),
    "joint in a core print": (
        {
            "printer__position": "standing", "printer__pieces": 2, "printer__bed_height": "100 mm",
            "fin__tip_chord": "80 mm", "fin__pocket": "cored",
        },
        "joint-in-cut", Severity.CAUTION,
        "With 2 pieces, a joint runs through the pocket: it divides the core print, and a step there lifts the core.",
        "Set pieces = 3 under [printer], which keeps the joints clear of the cuts.",
    ),
    "undercut": (
        {"parting__offset": "1 mm", "parting__plane": "vertical"},
        "undercut", Severity.STOP,
        "The port half does not draw to port: 3.4 cm2 of it leans back under the mould, by up to 29.9 deg, 163.1 mm "
        "from the nose.",
        'Set offset = "0 mm" under [parting], so that the pattern is parted at its widest point.',
    ),
    "raked print drawn up": (
        {"fin__pocket": "cored", "fin__rake": "8 deg", "parting__plane": "horizontal"},
        "undercut", Severity.STOP,
        "The upper half does not draw upwards: 38.19 mm2 of it leans back under the mould, by up to 6 deg, 45.6 mm "
        "from the nose.",
        'Set plane = "vertical" under [parting]: raked core prints can only be drawn sideways.',
    ),
    "thin edge of a print drawn up": (
        {"fin__pocket": "cored", "parting__plane": "horizontal"},
        "draft-small", Severity.CAUTION,
        "A face of the upper half 93.0 mm from the nose has less than 2 deg of draft over a height of 8.60 mm; faces "
        "up to 5.00 mm high come free easily.",
        'Set plane = "vertical" under [parting] to draw the core print sideways with its full draft.',
    ),
    "plane beside the pattern": (
        {"parting__offset": "40 mm", "parting__plane": "horizontal", "parting__register": "none"},
        "parting-off-pattern", Severity.STOP,
        "The parting plane is 40.0 mm off the axis and misses the pattern, which extends only 15.1 mm from the axis.",
        'Set offset = "0 mm" under [parting].',
    ),
    "no room": (
        {"parting__dowel": "12 mm"},
        "no-room-for-dowels", Severity.NOTE,
        "The pattern has no room for two dowels in each half.",
        "Align those pieces with their neighbours by eye and glue them on a flat board, or set a smaller parting.dowel.",
    ),
    "resin": (
        {"printer__material": "printing resin"},
        "pattern-softens", Severity.CAUTION,
        "printing resin starts to soften at 45 °C. The print may reach 54.3 °C (plaster setting in a thick block), "
        "which is above that.",
        "Mix with cold water, pour thick blocks in two layers and draw the pattern once the plaster has cooled, "
        "or set material "
        '= "PETG" under [printer].',
    ),
    "no coat": (
        {"printer__material": "PETG", "pattern__coat": "0 mm"},
        "layer-lines", Severity.CAUTION,
        "When the pattern is printed lying, its layers lie across the direction of pull, so every layer line is "
        "a small ledge. Plaster keys into layers of "
        "0.20 mm, and no coat of sealer is planned.",
        'Set coat = "0.1 mm" under [pattern], and fill, sand to 240 grit along the pull, seal with two thin coats, rub '
        "down and wax before any plaster goes on.",
    ),
    "sprue beside": (
        {"frame__sprue_at": "400 mm"},
        "sprue-beside-pattern", Severity.CAUTION,
        "The sprue is 400.0 mm from the nose and misses the pattern, which ends at 163.7 mm.",
        'Set sprue_at = "51.2 mm" under [frame].',
    ),
    "keys too wide": (
        {"frame__wall": "20 mm", "frame__key_diameter": "18 mm"},
        "key-too-wide", Severity.CAUTION,
        "Keys of 18.0 mm are too large for a wall of 20.0 mm, so the mould would break next to them.",
        'Set key_diameter = "9.00 mm" under [frame].',
    ),
    "joints too close for dowels": (
        {"printer__position": "standing", "printer__pieces": 12, "printer__material": "PETG", "parting__register": "none"},
        "no-room-for-dowels", Severity.NOTE,
        "Joint 1, joint 2, joint 3, joint 4, joint 5, joint 6, joint 7, joint 8 and joint 9 have no room for two dowels in "
        "each half.",
        "Align those pieces with their neighbours by eye and glue them on a flat board, or set a smaller parting.dowel.",
    ),
    "frame too large": (
        {
            "printer__bed_length": "150 mm", "printer__bed_width": "150 mm", "printer__margin": "0 mm",
            "frame__kind": "printed",
        },
        "frame-off-bed", Severity.CAUTION,
        "The printed frame is 239.6 mm by 105.8 mm on the outside and does not fit the bed of 150.0 mm by 150.0 "
        "mm. No file was "
        "written for it.",
        'Set kind = "boards" under [frame].',
    ),
    "frame too high": (
        {
            "printer__bed_length": "300 mm", "printer__bed_width": "300 mm", "printer__bed_height": "40 mm",
            "printer__margin": "0 mm", "frame__kind": "printed", "frame__floor": "60 mm",
        },
        "frame-off-bed", Severity.CAUTION,
        "The printed frame is 75.1 mm high; the printer has room for 40.0 mm. No file was written for it.",
        'Set kind = "boards" under [frame].',
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_cause_is_reported_with_its_fix(name):
    changes, code, severity, message, remedy = CASES[name]
    finding = said(code, **changes)
    assert (finding.severity, finding.message, finding.remedy) == (severity, message, remedy)
    assert code in {rule.code for rule in rules() if rule.subject == "pattern shop"}


FIXES = re.compile(r'(\w+) = ("[^"]+"|\d+)')
WHERE = {"pieces": "printer", "position": "printer", "offset": "parting", "plane": "parting", "coat": "pattern",
         "kind": "frame", "material": "printer", "sprue_at": "frame", "key_diameter": "frame"}  # fmt: skip


@pytest.mark.parametrize("name", [one for one in CASES if FIXES.search(CASES[one][4])])
def test_a_fix_typed_as_shown_fixes_it(name):
    changes, code, severity, _, remedy = CASES[name]
    repaired = dict(changes)
    # The first way out that names a key; the rest are other ways.
    way = next(part for part in remedy.split(", or ") if FIXES.search(part))
    for leaf, value in FIXES.findall(way):
        repaired[f"{WHERE[leaf]}__{leaf}"] = int(value) if value.isdecimal() else value.strip('"')
    left = [one for one in measured(**repaired).findings if one.code == code and one.severity is severity]
    assert left == []


def test_equal_to_the_limit_passes():
    job = measured(printer__smallest_wall="0.8 mm", printer__material="PETG")
    assert [one for one in job.findings if one.code == "wall-thin-in-piece"] == []
    assert min(one.thickness for one in job.shop.thin) >= 0.0008 - 1e-9


def test_a_thin_tail_and_a_thin_print_are_cautions():
    job = measured(printer__smallest_wall="2 mm", fin__pocket="cored")
    found = {one.where: one for one in job.findings if one.code == "wall-thin-in-piece"}
    assert found["pattern, at the tail face"].message == (
        "The pattern's pieces are 1.77 mm thick at the tail face; a print needs at least 2.00 mm."
    )
    assert set(found) == {
        "pattern, at the tail face",
        "pattern, along the trailing edge of the pocket's print",
    }


def test_a_plan_that_says_nothing_of_the_shop_has_no_findings_of_it():
    assert [one.code for one in measured().findings if one.subject == "pattern shop"] == []


def faults_of(**changes):
    with pytest.raises(PlanError) as caught:
        read_plan_table(table_for(**changes), source="shop.toml", sha256="0")
    return [fault.message for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (
            {"printer__pieces": 2.5},
            "shop.toml: printer.pieces: read pieces = 2.5; expected a whole number of pieces. Write pieces = 2, "
            "or omit it to get as few as the bed allows.",
        ),
        (
            {"parting__plane": "none", "parting__register": "keys"},
            'shop.toml: parting.register: read register = "keys" with plane = "none"; expected register only '
            "with a parting plane. Remove register, or choose a plane.",
        ),
        (
            {"printer__bed_width": "60 mm", "printer__margin": "30 mm"},
            'shop.toml: printer.margin: read margin = "30 mm"; expected a margin that leaves some of the bed '
            "free. Make it less than half the bed's shorter side.",
        ),
        (
            {"printer__material": "cheese"},
            'shop.toml: printer.material: read "cheese"; expected one of "PLA", "PETG", "ABS", "ASA" or '
            '"printing resin". Write material = "PLA", say. "PLA": the most common filament, soft from about 55 C; '
            '"PETG": a little tougher, and softens at a higher temperature; "ABS": resists more heat, but '
            'warps; "ASA": much like ABS; "printing resin": cured by light in a vat.',
        ),
    ],
)
def test_keys_that_disagree_are_faults(changes, message):
    assert faults_of(**changes) == [message]


def test_a_stop_of_the_shop_withholds_every_pattern_file(tmp_path):
    from bulbcast.bundle.contents import write_bundle

    job = run(read_plan_table(table_for(parting__offset="1 mm"), source="shop.toml", sha256="0"))
    written = write_bundle(job, tmp_path / "out")
    assert written.job.stopped
    assert set(written.names) == {"plan.json", "report.html", "bulb.stl", "bulb.3mf", "offsets.csv"}
    assert (
        "no files were written for the pattern or its pieces"
        in (tmp_path / "out" / "report.html").read_text()
    )


def test_softening_is_reported_of_the_drying_where_the_plan_says_how():
    from dataclasses import replace

    from bulbcast.pattern_shop.printer.softening import heat_events
    from bulbcast.pattern_shop.rules import shop_findings

    job = measured(printer__material="PETG")
    oven = replace(job.shop, heat=heat_events(drying="oven"), drying="oven")
    found = [one for one in shop_findings(job.plan, oven, job.shown) if one.code == "pattern-softens"]
    assert [(one.severity, one.message) for one in found] == [
        (
            Severity.NOTE,
            "PETG starts to soften at 65 °C. The print may reach 110 °C (dried in an oven with the pattern inside), "
            "which is above that.",
        )
    ]
    assert found[0].remedy == "Remove the pattern before the mould is dried or baked."


def test_a_pattern_parts_where_its_mould_does():
    mould = {"mould__material": "plaster", "mould__kind": "closed", "mould__drying": "baked"}
    level = measured(**mould, mould__split="upper-lower")
    upright = measured(**mould, mould__split="port-starboard", printer__material="PLA")
    assert (level.shop.plane, upright.shop.plane) == ("horizontal", "vertical")
    assert upright.shop.plane_why == "the mould's parting plane"
    asked = measured(**mould, mould__split="upper-lower", parting__plane="vertical")
    assert asked.shop.plane == "vertical"
    said = [one.severity for one in upright.findings if one.code == "pattern-softens"]
    assert said == [Severity.NOTE, Severity.NOTE]
