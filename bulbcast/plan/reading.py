"""A plan file's text to a `Plan`: every fault in one go, every fixed default filled in and listed.

Pure: no file of the builder's is opened, not even the one that `offsets` names. A key that is given but
faulty still counts as given, so that one slip makes one message and not a train of them.
"""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING, Literal, cast

from bulbcast.plan.answers import Answers, answers_of
from bulbcast.plan.boat_keys import HULL_KEYS, WAYS
from bulbcast.plan.consistency import SHAPE_GROUP, check_consistency
from bulbcast.plan.document import take_apart
from bulbcast.plan.faults import PlanError
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, REPEATED
from bulbcast.plan.sections import (
    AlloySection,
    BoatSection,
    BulbSection,
    DefaultTaken,
    FinSection,
    Grade,
    MeltSection,
    PatternSection,
    Plan,
    ProfileKind,
    ScrewSection,
    WaterSection,
    WeighedSample,
    WeightSection,
)
from bulbcast.quantities import Dimension, DisplayUnits, read_quantity_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


def read_plan(text: str | bytes, *, source: str) -> Plan:
    """Read a plan file.

    Args:
        text: The file's content; bytes are read as UTF-8. [-]
        source: What messages call the file; its name without the ending names a plan that has no name. [-]

    Returns:
        The plan in SI, fixed defaults filled in and listed with their sources.

    Raises:
        PlanError: With every fault of the file.
    """
    document = take_apart(text, source=source)
    if not document.complete:
        raise PlanError(document.faults)
    answers = answers_of(document.table, source=source, unreadable=document.unreadable)
    answers.faults[:0] = document.faults
    return _plan(answers, document.sha256)


def read_plan_table(table: Mapping[str, object], *, source: str, sha256: str) -> Plan:
    """Read a plan that is a TOML table already, such as one with a key changed for a comparison.

    Args:
        table: As `tomllib` gives it. [-]
        source: As for `read_plan`. [-]
        sha256: Of the file that the table came from, in hexadecimal. [-]

    Returns:
        As `read_plan`.

    Raises:
        PlanError: With every fault of the table.
    """
    return _plan(answers_of(table, source=source), sha256)


def _plan(answers: Answers, sha256: str) -> Plan:
    check_consistency(answers)
    if answers.faults:
        raise PlanError(answers.faults)
    defaults = tuple(_fill_in(answers))
    return Plan(
        name=_word(answers, "name"),
        display_units=cast("DisplayUnits", _word(answers, "display_units")),
        water=_water(answers),
        bulb=_bulb(answers),
        alloy=_alloy(answers),
        fin=_fin(answers),
        screws=tuple(_screw(answers, f"screws[{number + 1}]") for number in range(answers.screws)),
        pattern=_pattern(answers),
        melt=_melt(answers),
        boat=_boat(answers) if "boat" in answers.sections else None,
        weights=tuple(_weight(answers, f"weights[{number + 1}]") for number in range(answers.weights)),
        defaults=defaults,
        source=answers.source,
        sha256=sha256,
    )


def _fill_in(answers: Answers) -> Iterator[DefaultTaken]:
    """Fill in the fixed defaults, in the order of the plan format, and tell each."""
    for key in KEYS.values():
        if key.name == "name" and "name" not in answers.given:
            stem = PurePath(answers.source).stem
            if not stem.strip() or not stem.isprintable():
                stem = "unnamed"
            answers.values["name"] = stem
            yield DefaultTaken(key="name", value=stem, source="the file's name")
        elif key.name == "water.density" and key.name not in answers.given:
            yield _water_of_its_kind(answers)
        elif key.default is not None and _applies(answers, key):
            for place in _places(answers, key):
                if place not in answers.given:
                    answers.values[place] = _default_value(key, key.default)
                    yield DefaultTaken(key=place, value=key.default, source=key.source)


def _applies(answers: Answers, key: Key) -> bool:
    """False where another key already settles what this default would."""
    if key.name == "bulb.fineness":
        return not answers.given.intersection(SHAPE_GROUP)
    if key.name == "fin.carry_at":
        # With the boat, the place comes from her trim where none is asked for.
        return "bulb.mass_centre_x" not in answers.given and "boat" not in answers.sections
    if key.name == "water.kind":
        return "water.density" not in answers.given
    if key.section == "boat":
        way = next((way for way in WAYS if way in answers.given), "")
        return key.leaf in HULL_KEYS.get(way, ())
    return key.section != "alloy.weighed" or "alloy.weighed" in answers.given


def _places(answers: Answers, key: Key) -> list[str]:
    if key.section in REPEATED:
        count: int = getattr(answers, key.section)
        return [f"{key.section}[{number + 1}].{key.leaf}" for number in range(count)]
    return [key.name]


def _default_value(key: Key, text: str) -> float | str:
    if key.kind is Kind.QUANTITY:
        return read_quantity_of(text, key.dimensions)[1]
    return float(text) if key.kind is Kind.NUMBER else text


def _water_of_its_kind(answers: Answers) -> DefaultTaken:
    from bulbcast.materials.water import water_of_kind  # its table is read only where it is needed

    water = water_of_kind(_word(answers, "water.kind"))
    answers.values["water.density"] = water.density
    return DefaultTaken(key="water.density", value=f"{water.density:.2f} kg/m3", source=water.source)


def _number(answers: Answers, place: str) -> float:
    return cast("float", answers.values[place])


def _word(answers: Answers, place: str) -> str:
    return cast("str", answers.values[place])


def _water(answers: Answers) -> WaterSection:
    kind = answers.word("water.kind") or "given"
    return WaterSection(
        kind=cast('Literal["fresh", "salt", "given"]', kind), density=_number(answers, "water.density")
    )


def _bulb(answers: Answers) -> BulbSection:
    return BulbSection(
        target_mass=answers.number("bulb.target_mass"),
        profile=cast("ProfileKind", _word(answers, "bulb.profile")),
        fineness=answers.number("bulb.fineness"),
        length=answers.number("bulb.length"),
        diameter=answers.number("bulb.diameter"),
        width_to_height=_number(answers, "bulb.width_to_height"),
        tail_diameter=answers.number("bulb.tail_diameter"),
        skin=_number(answers, "bulb.skin"),
        filler_density=_number(answers, "bulb.filler_density"),
        smallest_wall=answers.number("bulb.smallest_wall"),
        mass_centre_x=answers.number("bulb.mass_centre_x"),
        max_at=answers.number("bulb.max_at"),
        nose_index=answers.number("bulb.nose_index"),
        nose_radius=answers.number("bulb.nose_radius"),
        tail_radius=answers.number("bulb.tail_radius"),
        prismatic=answers.number("bulb.prismatic"),
        offsets=answers.word("bulb.offsets"),
    )


def _alloy(answers: Answers) -> AlloySection:
    composition = None
    if answers.composition is not None:
        total = sum(part for _, part in answers.composition)
        composition = tuple((symbol, part / total) for symbol, part in answers.composition)
    return AlloySection(
        grade=cast("Grade | None", answers.word("alloy.grade")),
        density=answers.number("alloy.density"),
        composition=composition,
        weighed=_weighed(answers) if "alloy.weighed" in answers.given else None,
        porosity=_number(answers, "alloy.porosity"),
    )


def _weighed(answers: Answers) -> WeighedSample:
    return WeighedSample(
        in_air=_number(answers, "alloy.weighed.in_air"),
        in_water=_number(answers, "alloy.weighed.in_water"),
        water_temperature=_number(answers, "alloy.weighed.water_temperature"),
        sample_porosity=_number(answers, "alloy.weighed.sample_porosity"),
        reading_spread=_number(answers, "alloy.weighed.reading_spread"),
    )


def _fin(answers: Answers) -> FinSection:
    return FinSection(
        tip_chord=_number(answers, "fin.tip_chord"),
        tip_thickness=_number(answers, "fin.tip_thickness"),
        tip_leading_edge_x=_number(answers, "fin.tip_leading_edge_x"),
        tip_z=_number(answers, "fin.tip_z"),
        pocket_depth=_number(answers, "fin.pocket_depth"),
        pocket_clearance=_number(answers, "fin.pocket_clearance"),
        pocket=cast('Literal["cut", "cored"]', _word(answers, "fin.pocket")),
        rake=_number(answers, "fin.rake"),
        carry_at=answers.number("fin.carry_at"),
        elastic_axis=_number(answers, "fin.elastic_axis"),
        material=cast('Literal["metal", "wood", "laminate"] | None', answers.word("fin.material")),
        root_chord=answers.number("fin.root_chord"),
        root_thickness=answers.number("fin.root_thickness"),
        root_leading_edge_x=answers.number("fin.root_leading_edge_x"),
        root_z=answers.number("fin.root_z"),
        mass=answers.number("fin.mass"),
        density=answers.number("fin.density"),
        overhang_forward=answers.number("fin.overhang_forward"),
        overhang_aft=answers.number("fin.overhang_aft"),
    )


def _screw(answers: Answers, screw: str) -> ScrewSection:
    return ScrewSection(
        at=_number(answers, f"{screw}.at"),
        diameter=_number(answers, f"{screw}.diameter"),
        hole_diameter=_number(answers, f"{screw}.hole_diameter"),
        head_diameter=_number(answers, f"{screw}.head_diameter"),
        head_height=_number(answers, f"{screw}.head_height"),
        recess=_number(answers, f"{screw}.recess"),
        length=_number(answers, f"{screw}.length"),
        hole=cast('Literal["drilled", "cored"]', _word(answers, f"{screw}.hole")),
        density=_number(answers, f"{screw}.density"),
        engagement=answers.number(f"{screw}.engagement"),
    )


def _pattern(answers: Answers) -> PatternSection:
    return PatternSection(
        contraction=answers.number("pattern.contraction"),
        mould_expansion=_number(answers, "pattern.mould_expansion"),
        finish=answers.number("pattern.finish"),
        coat=_number(answers, "pattern.coat"),
        chord_error=_number(answers, "pattern.chord_error"),
        density=answers.number("pattern.density"),
    )


def _melt(answers: Answers) -> MeltSection:
    feeder = answers.number("melt.feeder")
    is_mass = answers.dimensions.get("melt.feeder") is Dimension.MASS
    return MeltSection(
        feeder_mass=feeder if is_mass else None,
        feeder_fraction=None if is_mass else feeder,
        reserve=_number(answers, "melt.reserve"),
        dross=answers.number("melt.dross"),
    )


def _boat(answers: Answers) -> BoatSection:
    return BoatSection(
        hull=answers.word("boat.hull"),
        offsets=answers.word("boat.offsets"),
        hull_displacement=answers.number("boat.hull_displacement"),
        unit=cast('Literal["mm", "cm", "m", "in", "ft"] | None', answers.word("boat.unit")),
        scale=answers.number("boat.scale"),
        waterline=answers.number("boat.waterline"),
        forward_end=answers.number("boat.forward_end"),
        aft_end=answers.number("boat.aft_end"),
        modelled=cast('Literal["whole", "half"] | None', answers.word("boat.modelled")),
        aft_axis=answers.word("boat.aft_axis"),
        up_axis=answers.word("boat.up_axis"),
        waterline_length=answers.number("boat.waterline_length"),
        buoyancy_x=answers.number("boat.buoyancy_x"),
        buoyancy_z=answers.number("boat.buoyancy_z"),
        waterplane_area=answers.number("boat.waterplane_area"),
        flotation_x=answers.number("boat.flotation_x"),
        waterline_beam=answers.number("boat.waterline_beam"),
        hull_draught=answers.number("boat.hull_draught"),
        metacentric_radius=answers.number("boat.metacentric_radius"),
        metacentric_radius_along=answers.number("boat.metacentric_radius_along"),
        displacement_spread=answers.number("boat.displacement_spread"),
        kind=cast('Literal["model", "racing-model", "small-craft"] | None', answers.word("boat.kind")),
    )


def _weight(answers: Answers, weight: str) -> WeightSection:
    return WeightSection(
        name=_word(answers, f"{weight}.name"),
        mass=_number(answers, f"{weight}.mass"),
        x=_number(answers, f"{weight}.x"),
        y=_number(answers, f"{weight}.y"),
        z=_number(answers, f"{weight}.z"),
        state=cast('Literal["weighed", "estimated", "to come"]', _word(answers, f"{weight}.state")),
        spread=answers.number(f"{weight}.spread"),
        place_spread=_number(answers, f"{weight}.place_spread"),
        movable_forward_to=answers.number(f"{weight}.movable_forward_to"),
        movable_aft_to=answers.number(f"{weight}.movable_aft_to"),
        can_stay_ashore=cast('Literal["no", "yes"]', _word(answers, f"{weight}.can_stay_ashore")),
    )
