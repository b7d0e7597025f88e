"""SAFETY.md agrees with the cautions, and the cautions cover every required subject."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import bulbcast.safety
from bulbcast.materials.lead import saturated_lead_in_air
from bulbcast.safety import (
    caution,
    cautions,
    cautions_at,
    closing,
    exposure_limits,
    safety_document,
    steps,
    vapour_table,
)

ROOT = Path(bulbcast.safety.__file__).parents[2]

# What must be covered: the caution that holds it, and words its full text cannot do without.
SUBJECTS = {
    "water and molten lead": ("water-and-lead", ["steam", "rain", "tools"]),
    "damp mould": ("damp-mould", ["weigh", "steam", "stop pouring and stand back"]),
    "fume": ("fume-and-dust", ["outdoors", "thermometer", "400 C"]),
    "dust and dross": ("fume-and-dust", ["skim", "dross", "respirator"]),
    "protective equipment": ("protective-equipment", ["face shield", "gauntlets", "P100", "P3"]),
    "hygiene": ("hygiene", ["soap", "food", "clothes", "sweep"]),
    "children": ("children-and-pregnancy", ["children", "tools"]),
    "pregnancy": ("children-and-pregnancy", ["pregnant", "breast-feeding"]),
    "thin cans": ("pot", ["can", "tinplate"]),
    "soldered pots": ("pot", ["soldered", "183 C"]),
    "aluminium pots": ("pot", ["aluminium"]),
    "batteries": ("batteries", ["never open", "acid", "arsine"]),
    "sealed or hollow scrap": ("sealed-scrap", ["hollow", "pipe"]),
    "ammunition": ("sealed-scrap", ["ammunition", "live round"]),
    "zinc": ("unknown-metals", ["zinc", "419.5 C", "lift it off at once", "below its own melting point too"]),
    "cadmium": ("unknown-metals", ["cadmium", "kills"]),
    "unknown metals": ("unknown-metals", ["cannot name"]),
    "damp or cold ingots": ("damp-ingots", ["rim", "dew"]),
    "a heel frozen in the pot": ("frozen-heel", ["from the top", "burst"]),
    "gas bottle": ("gas-and-carbon-monoxide", ["bottle", "upright"]),
    "carbon monoxide": ("gas-and-carbon-monoxide", ["carbon monoxide", "outdoors only"]),
    "signs of carbon monoxide": (
        "gas-and-carbon-monoxide",
        ["headache", "dizziness", "sick", "confusion", "fresh air", "emergency number"],
    ),
    "molten metal in an eye": (
        "metal-in-the-eye",
        ["emergency number", "cool clean water", "30 minutes", "do not pull or pick", "hospital"],
    ),
    "the oven": ("oven", ["never used for food"]),
    "plaster's heat": ("plaster", ["60 C", "hand"]),
    "oven above food": ("oven", ["not even for the first drying"]),
    "steam from a damp mould": ("damp-mould", ["throws it out", "constant"]),
    "shot in resin": ("shot-and-resin", ["lead", "thick mass", "thin layers"]),
    "silica": ("plaster", ["crystalline silica"]),
    "dust of the cold bulb": ("cold-work", ["shavings", "drill", "respirator"]),
    "moulds hot for hours": ("hot-mould", ["hour", "quench"]),
    "lifting": ("lifting", ["10 kg", "50 kg", "150 kg", "a job for a foundry", "25 kg"]),
    "whose figures those for lifting are": (
        "lifting",
        ["British guideline", "16 kg", "lifting equation", "12 kg", "alone"],
    ),
    "blood test": ("blood-test", ["physician", "3.5 micrograms"]),
    "sealing": ("seal-the-bulb", ["epoxy", "handled"]),
    "waste": ("waste", ["hazardous-waste", "drain"]),
    "burns": ("burns", ["20 minutes", "running water"]),
    "fire": ("fire", ["never water on the pot", "dry sand"]),
}


def words(text: str) -> str:
    """Text in lower case, with every run of spaces and line breaks as one space."""
    return " ".join(text.split()).lower()


def test_safety_md_is_the_rendered_document():
    written = (ROOT / "SAFETY.md").read_text(encoding="utf-8")
    assert written == safety_document(), "write SAFETY.md anew with bulbcast.safety.safety_document()"


def test_every_subject_has_its_caution_in_short_and_in_full():
    document = words(safety_document())
    lacking = {}
    for subject, (code, needed) in SUBJECTS.items():
        one = caution(code)
        full = words(" ".join(one.full))
        lacking[subject] = [word for word in needed if words(word) not in full]
        lacking[subject] += [said for said in (*one.full, one.short) if words(said) not in document]
    assert {subject: lines for subject, lines in lacking.items() if lines} == {}


def test_every_caution_belongs_to_a_step_has_a_source_and_a_code_of_its_own():
    names = {step.name for step in steps()}
    codes = [one.code for one in cautions()]
    assert len(set(codes)) == len(codes)
    for one in cautions():
        assert set(one.steps) <= names
        assert len(set(one.steps)) == len(one.steps) > 0
        assert one.sources
        assert all(re.fullmatch(r"[^\s].{8,}", source) for source in one.sources)
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", one.code)


def test_every_step_has_cautions_and_shows_its_own_before_those_repeated():
    for step in steps():
        own = [one.steps[0] == step.name for one in cautions_at(step.name)]
        assert own
        assert own == sorted(own, reverse=True)
        assert own[0]


def test_the_cautions_of_the_melt_are_those_that_name_it():
    at_melt = {one.code for one in cautions_at("melt")}
    assert at_melt == {one.code for one in cautions() if "melt" in one.steps}
    assert {"water-and-lead", "frozen-heel", "fume-and-dust", "pot", "protective-equipment"} <= at_melt


def test_an_unknown_code_or_step_is_an_error_that_names_it():
    with pytest.raises(KeyError, match='There is no caution with the code "luck"'):
        caution("luck")
    with pytest.raises(KeyError, match='There is no step called "luck"'):
        cautions_at("luck")


def test_short_texts_are_short_enough_for_a_terminal():
    assert [one.code for one in cautions() if len(one.short) > 200 or "\n" in one.short] == []
    assert all(one.short.endswith(".") for one in cautions())


def test_no_source_is_a_forum():
    assert not re.search(r"forum|diary|thread", safety_document(), re.IGNORECASE)


def test_the_document_ends_by_deferring_to_local_rules_and_licensed_practice():
    last = safety_document().rsplit("\n## ", 1)[1]
    assert last.startswith("Local rules and licensed practice\n")
    assert words(" ".join(closing())) in words(last)
    assert "come first" in words(last)
    assert "licensed" in words(last.split("\n", 1)[1])


def test_limits_from_memory_are_marked_and_the_others_are_not():
    for limit in exposure_limits():
        row = f"| {limit.rule} | {limit.value} | {limit.source}"
        mark = "" if limit.read else " (from memory, check before quoting)"
        assert f"{row}{mark} |\n" in safety_document()


def test_the_limits_are_those_printed_by_the_authorities():
    # 29 CFR 1910.1025 (b), (c), (k); Cal. Code Regs. Title 8; OJ L 19.3.2024; MMWR 70:1509-1512.
    printed = (
        ("OSHA permissible exposure limit, 8 h mean", "50 µg/m³ (400 divided by the hours for longer days)"),
        ("OSHA action level, 8 h mean", "30 µg/m³"),
        ("Cal/OSHA, from 1 January 2025: limit, action level", "10 µg/m³, 2 µg/m³"),
        ("European Union, Directive 2024/869", "0.03 mg/m³"),
        ("CDC blood lead reference value, children (no safe level is known)", "3.5 µg/dL"),
        ("OSHA removal from work: once, or as a mean; return below", "60, 50; 40 µg/100 g"),
    )
    limits = {one.rule: one.value for one in reversed(exposure_limits())}
    assert {rule: limits.get(rule) for rule, _ in printed} == dict(printed)


def test_the_vapour_figures_are_those_of_the_equation():
    # The text is a leaf and cannot compute them; each is rounded to the figures it shows.
    def shown(value: float, figure: float) -> float:
        digits = len(f"{figure:g}".replace(".", "").strip("0"))
        return float(f"{value:.{digits - 1}e}")

    rows = vapour_table()
    figures = [(row.celsius, row.at_pot, row.at_20) for row in rows]
    calculated = [
        (
            row.celsius,
            shown(saturated_lead_in_air(row.celsius) * 1e9, row.at_pot),
            shown(saturated_lead_in_air(row.celsius, 20.0) * 1e9, row.at_20),
        )
        for row in rows
    ]
    assert figures
    assert figures == calculated


def test_the_safety_room_imports_nothing_else_of_ours():
    for file in (ROOT / "bulbcast" / "safety").glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                assert node.level == 0
                names = [node.module or ""]
            for name in names:
                assert not name.startswith("bulbcast") or name.startswith("bulbcast.safety"), (
                    file.name,
                    name,
                )
