"""[water], [bulb] and [alloy]: what she floats in, the bulb's mass and shape, and what it is cast from.

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
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
    """A key that these profiles have and need."""
    where = {"profile": profiles}
    return key(about, written, within, example=example, only_with=where, needed_with=where, rare=True, **more)


@section(
    "water",
    step="bulb",
    one_of=OneOf(
        ("kind", "density"),
        "Take density out for plain fresh or salt water, or kind where the density is known.",
    ),
)
class WaterSection:
    """[water]: what she floats in. `density` in kg/m3; `kind` is "fresh", "salt" or "given"."""

    kind: Literal["fresh", "salt", "given"] = key(
        "fresh or salt, both at 15 C; or give density instead",
        "choice",
        choices=("fresh", "salt"),
        default="fresh",
        source=FORMAT,
        means={
            "fresh": "lakes, rivers and ponds",
            "salt": "the sea; for brackish water give density in place of kind",
        },
        also={
            "fresh": ("freshwater", "fresh water", "lake", "pond", "river"),
            "salt": ("sea", "seawater", "sea water", "saltwater", "salt water", "ocean"),
        },
        find="Choose the water she sails in most: salt carries about 2.7 % more than fresh.",
    )
    density: float = key(
        "of brackish water, say",
        DENSITY,
        "950 kg/m3 to 1250 kg/m3",
        example="1012 kg/m3",
        find=(
            "Read it off a hydrometer floated in that water, or weigh a full measuring jug of it and take "
            "the jug off."
        ),
    )


@section(
    "bulb",
    step="bulb",
    one_of=OneOf(
        ("fineness", "length", "diameter"),
        "Keep one of them and take out the rest; the mass required gives the other two.",
        expected="exactly one of fineness, length and diameter",
    ),
)
class BulbSection:
    """[bulb]: mass required and shape. Lengths m, mass kg, densities kg/m3.

    Exactly one of `fineness`, `length`, `diameter` is not None. `max_at` and `nose_index` belong
    to naca4mod, `max_at`, `nose_radius`, `tail_radius`, `prismatic` to series58 (Gertler's m, r0,
    r1, Cp, of the uncut profile), `offsets` (a path as typed) to offsets. `incidence` in rad, nose up
    positive.
    """

    target_mass: float | None = key(
        "everything that hangs on the fin",
        MASS,
        "10 g to 20 t",
        example="2.45 kg",
        required=True,
        required_unless="boat",
        find=(
            "Weigh the boat ready to sail without bulb, and take that from the displacement of her "
            "drawing. Or leave it out and give [boat], which works it out."
        ),
        spread="0 g",
        spread_source="the plan format's own default: a typed target is a wish and no measurement",
    )
    profile: ProfileKind = key(
        "naca4, naca4mod, spheroid, series58, sears-haack or offsets",
        "choice",
        default="naca4",
        source=FORMAT,
        means={
            "naca4": "the NACA four-digit form, fullest at 30 % of the length",
            "naca4mod": "the same with its fullest section and nose roundness as given",
            "spheroid": "an ellipse turned about its axis",
            "series58": "streamlined bodies by Gertler's figures",
            "sears-haack": "pointed at both ends, fullest at the middle",
            "offsets": "from your own table of x and r",
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
            "Choose one; naca4 is the usual one, and at the same fineness the drag of all of them is "
            "much alike."
        ),
    )
    fineness: float | None = key(
        "length over diameter; exactly one of fineness, length, diameter",
        "number",
        "2 to 20",
        example="5.0",
        default="6",
        source="judgement: within 5 to 8, where drag at a given volume hardly changes",
        find="Choose it: 4 to 9 is usual, 6 to 8 most of all. A larger one makes a longer, thinner bulb with more surface.",
    )
    length: float | None = key(
        "of the finished lead, after the tail cut",
        LENGTH,
        "10 mm to 30 m",
        example="240 mm",
        find=(
            "Choose it where room or a rule sets it; give it in place of fineness. Rule along the "
            "axis, nose to tail face."
        ),
    )
    diameter: float | None = key(
        "the largest, of the finished lead",
        LENGTH,
        "2 mm to 5 m",
        example="45 mm",
        find=(
            "Choose it where a mould, a tube or a rule sets it; give it in place of fineness. Caliper "
            "at the largest section."
        ),
    )
    width_to_height: float = key(
        "above 1 is wider than high; the section keeps its area",
        "number",
        "0.4 to 3",
        example="1.0",
        default="1",
        source=f"{FORMAT}: a round section",
        find=("Choose it: 1 is round and turns in a lathe. A wider one hangs lower with the same draught."),
    )
    tail_diameter: float | None = key(
        "where the tail is cut square; left out: 8 % of diameter",
        LENGTH,
        "0 mm to 5 m",
        example="4 mm",
        find=("Choose it: as thin as the lead may be and still not bend in handling, some 4 mm on a model."),
    )
    skin: float = key(
        "thickness of fairing and paint",
        LENGTH,
        "0 mm to 20 mm",
        example="0.2 mm",
        default="0 mm",
        source=f"{FORMAT}: no fairing or paint counted",
        find=(
            "Measure a painted scrap of card with a caliper, less the card. Filler, primer and paint "
            "come to 0.1 to 0.3 mm."
        ),
        spread="25 % of it",
        spread_source="judgement",
    )
    filler_density: float = key(
        "of skin, plugs and bedding",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="1.2 g/cm3",
        source="common practice, no source: epoxy with light filler",
        find=("Look at the filler maker's data sheet, or weigh a block of it and divide by its volume."),
        spread="5 % of it",
        spread_source="judgement",
    )
    smallest_wall: float | None = key(
        "least lead round the cuts; left out: 3 mm, 10 mm from 40 kg up",
        LENGTH,
        "0 mm to 1 m",
        example="3 mm",
        find="Choose it: leave it out unless your metal or your drilling asks for more.",
    )
    mass_centre_x: float | None = key(
        "where the mass centre has to be; instead of fin.carry_at",
        LENGTH,
        "-50 m to 50 m",
        example="423 mm",
        find=(
            "Measure aft from the forward end of the waterline to where the boat's balance needs the "
            "bulb's mass centre."
        ),
    )
    incidence: float = key(
        "of the bulb's axis to the waterline; nose up is positive",
        ANGLE,
        "-10 deg to 10 deg",
        example="2 deg",
        default="0 deg",
        source=f"{FORMAT}: the bulb's axis lies along the waterline",
        find=(
            "Choose it: 0, unless her fore-and-aft trim under sail is known to be off. Lay a digital "
            "level on bulb and waterline."
        ),
    )
    max_at: float | None = _of_profile(
        ("naca4mod", "series58"),
        "place of the largest section, as a fraction of the length",
        "number",
        "above 0 and below 1",
        "0.4",
        title="Place of the largest section",
        find=(
            "Measure from the nose to the fattest section and divide by the length; or read it off "
            "the drawing."
        ),
    )
    nose_index: float | None = _of_profile(
        "naca4mod",
        "nose roundness index",
        "number",
        "above 0 and up to 8",
        "6",
        find=("Read it off the published form: 6 is the four-digit nose, 0 would be sharp, 9 very blunt."),
    )
    nose_radius: float | None = _of_profile(
        "series58",
        "Gertler's r0",
        "number",
        "0 to 10",
        "0.5",
        find=(
            "Read it off the published form: radius at the nose, times the length, over the square of "
            "the diameter."
        ),
    )
    tail_radius: float | None = _of_profile(
        "series58",
        "Gertler's r1",
        "number",
        "0 to 10",
        "0.1",
        find=(
            "Read it off the published form: radius at the tail, times the length, over the square of "
            "the diameter."
        ),
    )
    prismatic: float | None = _of_profile(
        "series58",
        "Gertler's Cp",
        "number",
        "above 0 and below 1",
        "0.65",
        find="Read it off the published form: volume over that of a cylinder as long and as thick.",
    )
    offsets: str | None = _of_profile(
        "offsets",
        "a file of x, r from the nose",
        "text",
        "",
        "profile.csv",
        title="Table of offsets",
        find=(
            "Measure the drawing or a bulb you like: x from the nose and the radius there, at some "
            "twenty places, closer at the ends."
        ),
    )


@section("alloy.weighed", "scrap.weighed", step="bulb")
class WeighedSample:
    """A scrap sample weighed in air and hung in fresh water. Masses kg, temperature degC.

    `reading_spread` is the standard deviation of one reading of the scale; `sample_porosity` the void fraction of the
    sample itself, 0 where it is assumed to be sound metal.
    """

    in_air: float = key(
        "the sample on the scale",
        MASS,
        "above 0 g and up to 1 t",
        example="512.0 g",
        required=True,
        find="Weigh the dry, brushed sample on the finest scale that takes it.",
    )
    in_water: float = key(
        "hung on a thread, wholly under fresh water",
        MASS,
        "above 0 g and up to 1 t",
        example="466.4 g",
        required=True,
        find=(
            "Hang it by a thin thread from the scale, wholly under water, clear of the sides and free "
            "of bubbles."
        ),
    )
    water_temperature: float = key(
        "of that water",
        TEMPERATURE,
        "0 C to 40 C",
        default="20 C",
        source=f"{FORMAT}: a room's temperature",
        find="Dip a thermometer into that water.",
    )
    sample_porosity: float = key(
        "voids in the sample itself",
        RATIO,
        "0 % to 10 %",
        example="0.5 %",
        default="0 %",
        source=f"{FORMAT}: the sample is assumed to be sound metal",
        find=(
            "Saw through the sample and look: 0 if the cut is sound. Cast the sample small and let it cool slowly from "
            "below."
        ),
    )
    reading_spread: float = key(
        "standard deviation of one reading of the scale",
        MASS,
        "0 g to 1 kg",
        default="0.5 g",
        source="judgement: a kitchen scale that shows whole grams",
        find="Weigh the same piece five times: about a third of the range of the readings.",
    )


@section(
    "alloy",
    step="bulb",
    one_of=OneOf(
        ("grade", "density", "composition", "weighed"),
        "Keep the one you trust most and take out the rest.",
        expected="exactly one of grade, density, composition and weighed",
        nothing=(
            "nothing about what the lead is",
            'Add grade = "pure" under [alloy], or grade = "unknown" if nothing is known of it.',
        ),
    ),
)
class AlloySection:
    """[alloy]: exactly one of `grade`, `density` (kg/m3), `composition` (mass parts that add up to
    1, by element symbol, in the order typed), `weighed`. `porosity` is a fraction."""

    grade: Grade | None = key(
        "what the lead is; unknown is a legal answer",
        "choice",
        means={
            "pure": "refined lead, soft enough for a fingernail to mark",
            "sheet": "roofing and flashing sheet",
            "antimonial-2": "with 2 % of antimony",
            "antimonial-4": "with 4 % of antimony",
            "antimonial-6": "with 6 % of antimony",
            "wheel-weights": "clip-on tyre weights, sorted",
            "linotype": "printer's metal, 12 % of antimony and 4 % of tin",
            "unknown": "nobody knows; the pour waits until a piece is weighed in air and in water",
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
            "Ask the seller, or test: a fingernail marks soft lead, and hard lead rings when dropped. "
            "In doubt write unknown, or weigh a piece."
        ),
    )
    density: float | None = key(
        "of sound metal at 20 C",
        DENSITY,
        "5 g/cm3 to 11.6 g/cm3",
        example="11.1 g/cm3",
        find=(
            "Weigh a piece in air and hung in water: density is the mass in air over the difference, "
            "times that of water."
        ),
        spread="0.5 % of it",
        spread_source="judgement",
    )
    composition: tuple[tuple[str, float], ...] | None = key(
        "parts per hundred by mass",
        "table",
        example="{Pb = 96, Sb = 4}",
        find="Copy it from the maker's certificate or the seller's analysis.",
    )
    weighed: WeighedSample | None = key(
        "scrap, weighed dry and in fresh water",
        "table",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        title="Weighed sample",
        find=(
            "Cast a fist-sized sample, weigh it dry, then hung on a thread in fresh water clear of "
            "the bottom."
        ),
    )
    porosity: float = key(
        "voids in the casting",
        RATIO,
        "0 % to 10 %",
        default="1.0 %",
        source="judgement",
        find=(
            "Saw a trial casting and weigh a piece in air and water against sound metal. A careful casting has about 1 %."
        ),
        spread="70 % of it",
        spread_source="judgement: 0.7 % at 1 %, 0.3 % of a well fed casting; a side that no porosity goes below",
    )
