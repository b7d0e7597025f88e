"""Sections [water], [bulb] and [alloy]: the water, the bulb's mass and shape, and its metal.

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from typing import Any, Literal

from bulbcast.plan.agreement import OneOf
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, DENSITY, FORMAT, LENGTH, MASS, RATIO, TEMPERATURE

ProfileKind = Literal["naca4", "naca4mod", "spheroid", "series58", "sears-haack", "offsets"]

Grade = Literal[
    "pure", "sheet", "antimonial-2", "antimonial-4", "antimonial-6", "wheel-weights", "linotype", "unknown"
]


def _of_profile(profiles: Any, about: str, written: Any, within: str, example: str, **more: Any) -> Any:
    """Declare a key that is required with these profiles and allowed only with them."""
    where = {"profile": profiles}
    return key(about, written, within, example=example, only_with=where, needed_with=where, rare=True, **more)


@section(
    "water",
    step="bulb",
    one_of=OneOf(
        ("kind", "density"),
        "Remove density for plain fresh or salt water, or remove kind if you know the density.",
    ),
)
class WaterSection:
    """Section [water], the water she floats in. `density` is in kg/m3; `kind` is "fresh", "salt" or "given"."""

    kind: Literal["fresh", "salt", "given"] = key(
        "fresh or salt water, both at 15 C; or give density instead",
        "choice",
        choices=("fresh", "salt"),
        default="fresh",
        source=FORMAT,
        means={
            "fresh": "lakes, rivers and ponds",
            "salt": "the sea; for brackish water, give density instead of kind",
        },
        also={
            "fresh": ("freshwater", "fresh water", "lake", "pond", "river"),
            "salt": ("sea", "seawater", "sea water", "saltwater", "salt water", "ocean"),
        },
        find="Choose the water she sails in most: salt water carries about 2.7 % more than fresh.",
    )
    density: float = key(
        "density of the water, for example if it is brackish",
        DENSITY,
        "950 kg/m3 to 1250 kg/m3",
        example="1012 kg/m3",
        find=(
            "Read it off a hydrometer floated in that water, or weigh a full measuring jug of it, subtract the empty "
            "jug and divide by the volume."
        ),
    )


@section(
    "bulb",
    step="bulb",
    one_of=OneOf(
        ("fineness", "length", "diameter"),
        "Keep one of them and remove the rest. The required mass gives the other two.",
        expected="exactly one of fineness, length and diameter",
    ),
)
class BulbSection:
    """Section [bulb], with the bulb's required mass and shape. Lengths are in m, mass in kg, densities in kg/m3.

    Exactly one of `fineness`, `length`, `diameter` is not None. `max_at` and `nose_index` belong to naca4mod; `max_at`,
    `nose_radius`, `tail_radius` and `prismatic` to series58 (Gertler's m, r0, r1 and Cp of the uncut profile); `offsets`
    (a path as typed) to offsets. `incidence` is in rad, positive nose up.
    """

    target_mass: float | None = key(
        "mass of everything that hangs on the fin",
        MASS,
        "10 g to 20 t",
        example="2.45 kg",
        required=True,
        required_unless="boat",
        find=(
            "Weigh the boat ready to sail but without the bulb, and subtract that from the displacement on the drawing. "
            "Or omit target_mass and give [boat], from which it is calculated."
        ),
        spread="0 g",
        spread_source="default of the plan format: a target mass is a goal, not a measurement",
    )
    profile: ProfileKind = key(
        "shape of the bulb: naca4, naca4mod, spheroid, series58, sears-haack or offsets",
        "choice",
        default="naca4",
        source=FORMAT,
        means={
            "naca4": "the NACA four-digit form, fullest at 30 % of the length",
            "naca4mod": "the same form, but you choose where it is fullest and how round its nose is",
            "spheroid": "an ellipse rotated about its axis",
            "series58": "streamlined bodies defined by Gertler's parameters",
            "sears-haack": "pointed at both ends, fullest at the middle",
            "offsets": "a table of x and r that you supply",
        },
        also={
            "naca4": ("naca", "naca 4", "naca four digit", "four digit"),
            "naca4mod": ("naca4 modified", "modified naca4"),
            "spheroid": ("ellipsoid", "ellipse"),
            "series58": ("series 58", "gertler"),
            "sears-haack": ("searshaack",),
            "offsets": ("table", "table of offsets"),
        },
        find=(
            "Choose one. naca4 is the most common choice; at the same fineness all of them have much the same drag."
        ),
    )
    fineness: float | None = key(
        "length divided by diameter; give exactly one of fineness, length and diameter",
        "number",
        "2 to 20",
        example="5.0",
        default="6",
        source="judgement: from 5 to 8 the drag at a given volume hardly changes",
        find="Your choice: 4 to 9 is typical, and 6 to 8 is most common. A larger figure gives a longer, thinner bulb "
        "with more surface.",
    )
    length: float | None = key(
        "length of the finished lead, after the tail cut",
        LENGTH,
        "10 mm to 30 m",
        example="240 mm",
        find=(
            "Give it in place of fineness if space or a rule sets the length. Measure along the axis from nose to tail face."
        ),
    )
    diameter: float | None = key(
        "largest diameter of the finished lead",
        LENGTH,
        "2 mm to 5 m",
        example="45 mm",
        find=(
            "Give it in place of fineness if a mould, a tube or a rule sets the diameter. Measure the largest section "
            "with a caliper."
        ),
    )
    width_to_height: float = key(
        "width of the section divided by its height; above 1 is wider than high, with the same area",
        "number",
        "0.4 to 3",
        example="1.0",
        default="1",
        source=f"{FORMAT}: a round section",
        find=(
            "Your choice: at 1 the section is round and can be turned on a lathe. A wider section puts the lead lower for "
            "the same draught."
        ),
    )
    tail_diameter: float | None = key(
        "diameter of the tail where it is cut square; default: 8 % of the largest diameter",
        LENGTH,
        "0 mm to 5 m",
        example="4 mm",
        find=(
            "Make it as thin as possible, but thick enough not to bend when handled: about 4 mm on a model."
        ),
    )
    skin: float = key(
        "thickness of fairing and paint",
        LENGTH,
        "0 mm to 20 mm",
        example="0.2 mm",
        default="0 mm",
        source=f"{FORMAT}: no fairing or paint counted",
        find=(
            "Measure a painted scrap of card with a caliper and subtract the thickness of the card. Filler, primer and "
            "paint add 0.1 to 0.3 mm."
        ),
        spread="25 % of it",
        spread_source="judgement",
    )
    filler_density: float = key(
        "density of the filler in the skin, plugs and bedding",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="1.2 g/cm3",
        source="common practice, no source: epoxy with light filler",
        find=("Look at the filler maker's data sheet, or weigh a block of it and divide by its volume."),
        spread="5 % of it",
        spread_source="judgement",
    )
    smallest_wall: float | None = key(
        "minimum thickness of lead around cuts; default: 3 mm, or 10 mm from 40 kg up",
        LENGTH,
        "0 mm to 1 m",
        example="3 mm",
        find="Leave it out unless your metal or your drilling needs a thicker wall.",
    )
    mass_centre_x: float | None = key(
        "required position of the bulb's mass centre, instead of fin.carry_at",
        LENGTH,
        "-50 m to 50 m",
        example="423 mm",
        find=(
            "Measure aft from the forward end of the waterline to where the bulb's mass centre must be for the boat to "
            "balance."
        ),
    )
    incidence: float = key(
        "angle of the bulb's axis to the waterline; nose up is positive",
        ANGLE,
        "-10 deg to 10 deg",
        example="2 deg",
        default="0 deg",
        source=f"{FORMAT}: the bulb's axis is parallel to the waterline",
        find=(
            "Choose 0 unless you know that her fore-and-aft trim under sail is off. Measure the angle with a "
            "digital level, first along the bulb and then along the waterline."
        ),
    )
    max_at: float | None = _of_profile(
        ("naca4mod", "series58"),
        "position of the largest section, as a fraction of the length",
        "number",
        "above 0 and below 1",
        "0.4",
        title="Position of the largest section",
        find=(
            "Measure from the nose to the thickest section and divide by the length, or read it off the drawing."
        ),
    )
    nose_index: float | None = _of_profile(
        "naca4mod",
        "index of nose roundness, 6 for the four-digit form",
        "number",
        "above 0 and up to 8",
        "6",
        find=(
            "Look it up for the published form. 6 is the four-digit nose, 0 would be sharp and 9 very blunt."
        ),
    )
    nose_radius: float | None = _of_profile(
        "series58",
        "Gertler's r0, the nose radius",
        "number",
        "0 to 10",
        "0.5",
        find=(
            "Look it up for the published form: the radius at the nose times the length, divided by the square of the "
            "diameter."
        ),
    )
    tail_radius: float | None = _of_profile(
        "series58",
        "Gertler's r1, the tail radius",
        "number",
        "0 to 10",
        "0.1",
        find=(
            "Look it up for the published form: the radius at the tail times the length, divided by the square of the "
            "diameter."
        ),
    )
    prismatic: float | None = _of_profile(
        "series58",
        "Gertler's Cp, the prismatic coefficient",
        "number",
        "above 0 and below 1",
        "0.65",
        find="Look it up for the published form: the volume divided by that of a cylinder of the same length and diameter.",
    )
    offsets: str | None = _of_profile(
        "offsets",
        "file with a table of x and r, measured from the nose",
        "text",
        "",
        "profile.csv",
        title="Table of offsets",
        find=(
            "Measure a drawing, or a bulb you like: x from the nose and the radius there, at about twenty points, "
            "closer together at the ends."
        ),
    )


@section("alloy.weighed", "scrap.weighed", step="bulb")
class WeighedSample:
    """Scrap sample weighed in air and hung in fresh water. Masses are in kg, temperature in degC.

    `reading_spread` is the standard deviation of one reading of the scale; `sample_porosity` the void fraction of the
    sample itself, 0 if it is assumed to be sound metal.
    """

    in_air: float = key(
        "mass of the dry sample in air",
        MASS,
        "above 0 g and up to 1 t",
        example="512.0 g",
        required=True,
        find="Brush the sample clean, dry it, and weigh it on the most precise scale that can take it.",
    )
    in_water: float = key(
        "scale reading with the sample hung on a thread, completely under fresh water",
        MASS,
        "above 0 g and up to 1 t",
        example="466.4 g",
        required=True,
        find=(
            "Hang it by a thin thread from the scale, fully under water, clear of the sides and free of bubbles."
        ),
    )
    water_temperature: float = key(
        "temperature of the water used for weighing",
        TEMPERATURE,
        "0 C to 40 C",
        default="20 C",
        source=f"{FORMAT}: room temperature",
        find="Put a thermometer in that water.",
    )
    sample_porosity: float = key(
        "void fraction of the sample itself",
        RATIO,
        "0 % to 10 %",
        example="0.5 %",
        default="0 %",
        source=f"{FORMAT}: the sample is assumed to be sound metal",
        find=(
            "Saw through the sample: the value is 0 if the cut is sound. To get sound metal, cast a small sample and "
            "let it cool slowly from below."
        ),
    )
    reading_spread: float = key(
        "standard deviation of one reading of the scale",
        MASS,
        "0 g to 1 kg",
        default="0.5 g",
        source="judgement: a kitchen scale that shows whole grams",
        find="Weigh the same piece five times and take about a third of the range of the readings.",
    )


@section(
    "alloy",
    step="bulb",
    one_of=OneOf(
        ("grade", "density", "composition", "weighed"),
        "Keep the one you trust most and remove the rest.",
        expected="exactly one of grade, density, composition and weighed",
        nothing=(
            "nothing about the kind of lead",
            'Add grade = "pure" under [alloy], or grade = "unknown" if you know nothing about it.',
        ),
    ),
)
class AlloySection:
    """Section [alloy], with exactly one of `grade`, `density` (kg/m3), `composition` (mass fractions that add up to 1, by
    element symbol, in the order typed) and `weighed`. `porosity` is a fraction."""

    grade: Grade | None = key(
        "kind of lead; unknown is allowed",
        "choice",
        means={
            "pure": "refined lead, soft enough to mark with a fingernail",
            "sheet": "roofing and flashing sheet",
            "antimonial-2": "lead with 2 % antimony",
            "antimonial-4": "lead with 4 % antimony",
            "antimonial-6": "lead with 6 % antimony",
            "wheel-weights": "clip-on tyre weights, sorted",
            "linotype": "printer's metal, with 12 % antimony and 4 % tin",
            "unknown": "not known; the pour is on hold until a piece has been weighed in air and in water",
        },
        also={
            "pure": ("pure lead", "soft", "soft lead", "refined", "refined lead"),
            "sheet": (
                "sheet lead",
                "roofing",
                "roofing lead",
                "roofing sheet",
                "flashing",
                "lead flashing",
                "milled sheet",
            ),
            "antimonial-2": ("2 % antimony", "2% antimony", "antimony 2"),
            "antimonial-4": ("4 % antimony", "4% antimony", "antimony 4"),
            "antimonial-6": ("6 % antimony", "6% antimony", "antimony 6"),
            "wheel-weights": (
                "wheel weight",
                "clip-on",
                "clip-ons",
                "clip-on weights",
                "clip-on wheel weights",
                "clip-on tyre weights",
                "clip-on tire weights",
                "tyre weights",
                "tire weights",
            ),
            "linotype": ("lino", "linotype metal"),
            "unknown": ("not known", "not sure", "mixed scrap"),
        },
        find=(
            "Ask the seller, or test it: a fingernail marks soft lead, and hard lead rings when dropped. If in doubt, "
            "write unknown or weigh a piece."
        ),
    )
    density: float | None = key(
        "density of sound metal at 20 C",
        DENSITY,
        "5 g/cm3 to 11.6 g/cm3",
        example="11.1 g/cm3",
        find=(
            "Weigh a piece in air and hanging in water. Divide the mass in air by the difference, and multiply by the "
            "density of water."
        ),
        spread="0.5 % of it",
        spread_source="judgement",
    )
    composition: tuple[tuple[str, float], ...] | None = key(
        "composition of the metal, in per cent by mass",
        "table",
        example="{Pb = 96, Sb = 4}",
        find="Copy it from the maker's certificate or the seller's analysis.",
    )
    weighed: WeighedSample | None = key(
        "sample of the metal, weighed dry and in fresh water",
        "table",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        title="Weighed sample",
        find=(
            "Cast a fist-sized sample. Weigh it dry, then hung on a thread in fresh water clear of the bottom."
        ),
    )
    porosity: float = key(
        "void fraction of the casting",
        RATIO,
        "0 % to 10 %",
        default="1.0 %",
        source="judgement",
        find=(
            "Saw up a trial casting, weigh a piece in air and in water, and compare its density with that of sound "
            "metal. A carefully made casting has about 1 %."
        ),
        spread="70 % of it",
        spread_source="judgement: 0.7 % at 1 % porosity, 0.3 % for a well-fed casting; porosity is never below zero",
    )
