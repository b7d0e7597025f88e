"""[water], [bulb] and [alloy]: what she floats in, the mass wanted and the shape, what it is cast of.

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is settled by the room that owns the rule, which also says so in the report.
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


def _of_profile(profiles: Any, about: str, written: Any, within: str, example: str, title: str = "") -> Any:
    """A key that these profiles have, and need."""
    where = {"profile": profiles}
    return key(
        about, written, within, example=example, only_with=where, needed_with=where, rare=True, title=title
    )


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
        means={"fresh": "lakes, rivers and ponds", "salt": "the sea"},
        also={
            "fresh": ("freshwater", "fresh water", "lake", "pond", "river"),
            "salt": ("sea", "seawater", "sea water", "saltwater", "salt water", "ocean"),
        },
    )
    density: float = key("of brackish water, say", DENSITY, "950 kg/m3 to 1250 kg/m3", example="1012 kg/m3")


@section(
    "bulb",
    step="bulb",
    one_of=OneOf(
        ("fineness", "length", "diameter"),
        "Keep one of them and take out the rest; the mass wanted gives the other two.",
        expected="exactly one of fineness, length and diameter",
    ),
)
class BulbSection:
    """[bulb]: mass wanted and shape. Lengths m, mass kg, densities kg/m3.

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
    )
    fineness: float | None = key(
        "length over diameter; exactly one of fineness, length, diameter",
        "number",
        "2 to 20",
        example="5.0",
        default="6",
        source="judgement: within 5 to 8, where drag at a given volume hardly changes",
    )
    length: float | None = key(
        "of the finished lead, after the tail cut", LENGTH, "10 mm to 30 m", example="240 mm"
    )
    diameter: float | None = key("the largest, of the finished lead", LENGTH, "2 mm to 5 m", example="45 mm")
    width_to_height: float = key(
        "above 1 is wider than high; the section keeps its area",
        "number",
        "0.4 to 3",
        example="1.0",
        default="1",
        source=f"{FORMAT}: a round section",
    )
    tail_diameter: float | None = key(
        "where the tail is cut square; left out: 8 % of diameter", LENGTH, "0 mm to 5 m", example="4 mm"
    )
    skin: float = key(
        "thickness of fairing and paint",
        LENGTH,
        "0 mm to 20 mm",
        example="0.2 mm",
        default="0 mm",
        source=f"{FORMAT}: no fairing or paint counted",
    )
    filler_density: float = key(
        "of skin, plugs and bedding",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        default="1.2 g/cm3",
        source="common practice, no source: epoxy with light filler",
    )
    smallest_wall: float | None = key(
        "least lead round the cuts; left out: 3 mm, 10 mm from 40 kg up",
        LENGTH,
        "0 mm to 1 m",
        example="3 mm",
    )
    mass_centre_x: float | None = key(
        "where the mass centre has to be; instead of fin.carry_at", LENGTH, "-50 m to 50 m", example="423 mm"
    )
    incidence: float = key(
        "of the bulb's axis to the waterline; nose up is positive",
        ANGLE,
        "-10 deg to 10 deg",
        example="2 deg",
        default="0 deg",
        source=f"{FORMAT}: the bulb's axis lies along the waterline",
    )
    max_at: float | None = _of_profile(
        ("naca4mod", "series58"),
        "place of the largest section, as a fraction of the length",
        "number",
        "above 0 and below 1",
        "0.4",
        title="Place of the largest section",
    )
    nose_index: float | None = _of_profile(
        "naca4mod", "nose roundness index", "number", "above 0 and up to 8", "6"
    )
    nose_radius: float | None = _of_profile("series58", "Gertler's r0", "number", "0 to 10", "0.5")
    tail_radius: float | None = _of_profile("series58", "Gertler's r1", "number", "0 to 10", "0.1")
    prismatic: float | None = _of_profile("series58", "Gertler's Cp", "number", "above 0 and below 1", "0.65")
    offsets: str | None = _of_profile(
        "offsets", "a file of x, r from the nose", "text", "", "profile.csv", title="Table of offsets"
    )


@section("alloy.weighed", "scrap.weighed", step="bulb")
class WeighedSample:
    """A scrap sample weighed in air and hung in fresh water. Masses kg, temperature degC.

    `reading_spread` is the standard deviation of one reading of the scale; `sample_porosity` the
    void fraction of the sample itself, 0 where it is taken as sound metal.
    """

    in_air: float = key(
        "the sample on the scale", MASS, "above 0 g and up to 1 t", example="512.0 g", required=True
    )
    in_water: float = key(
        "hung on a thread, wholly under fresh water",
        MASS,
        "above 0 g and up to 1 t",
        example="466.4 g",
        required=True,
    )
    water_temperature: float = key(
        "of that water", TEMPERATURE, "0 C to 40 C", default="20 C", source=f"{FORMAT}: a room's temperature"
    )
    sample_porosity: float = key(
        "voids in the sample itself",
        RATIO,
        "0 % to 10 %",
        example="0.5 %",
        default="0 %",
        source=f"{FORMAT}: the sample is taken as sound metal",
    )
    reading_spread: float = key(
        "standard deviation of one reading of the scale",
        MASS,
        "0 g to 1 kg",
        default="0.5 g",
        source="judgement: a kitchen scale that shows whole grams",
    )


@section(
    "alloy",
    step="bulb",
    one_of=OneOf(
        ("grade", "density", "composition", "weighed"),
        "Keep the one you trust most and take out the rest.",
        expected="exactly one of grade, density, composition and weighed",
        nothing=(
            "nothing of what the lead is",
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
    )
    density: float | None = key(
        "of sound metal at 20 C", DENSITY, "5 g/cm3 to 11.6 g/cm3", example="11.1 g/cm3"
    )
    composition: tuple[tuple[str, float], ...] | None = key(
        "parts per hundred by mass", "table", example="{Pb = 96, Sb = 4}"
    )
    weighed: WeighedSample | None = key(
        "scrap, weighed dry and in fresh water",
        "table",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        title="Weighed sample",
    )
    porosity: float = key("voids in the casting", RATIO, "0 % to 10 %", default="1.0 %", source="judgement")
