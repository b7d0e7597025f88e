"""Sections [rudder] and [rig].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from bulbcast.plan.agreement import OneOf, OnlyWith
from bulbcast.plan.declare import key, section
from bulbcast.plan.key import ANGLE, AREA, DENSITY, LENGTH, MASS, SPEED


def _with_boat(section_name: str) -> OnlyWith:
    return OnlyWith(
        "boat",
        read=f"a {section_name} without [boat]",
        expected="[boat] with it, or neither",
        remedy=f"Add [boat] with the hull, or remove [{section_name}].",
    )


@section(
    "rudder",
    step="boat",
    basic="mass density",
    one_of=OneOf(("mass", "density"), "Keep mass if the blade has been weighed, and density if it has not."),
    only_with=_with_boat("rudder"),
)
class RudderSection:
    """Section [rudder], with the blade in boat axes. Lengths are in m; it has `mass` in kg or `density` in kg/m3, never
    both."""

    root_chord: float = key(
        "fore-and-aft length of the blade at its top",
        LENGTH,
        "1 mm to 10 m",
        example="46 mm",
        required=True,
        find="Measure along the top of the blade from leading edge to trailing edge.",
    )
    tip_chord: float = key(
        "fore-and-aft length of the blade at its foot",
        LENGTH,
        "1 mm to 10 m",
        example="34 mm",
        required=True,
        find="Measure along the foot of the blade.",
    )
    root_thickness: float = key(
        "thickness of the blade at its top, NACA four-digit section",
        LENGTH,
        "0.1 mm to 2 m",
        example="5 mm",
        required=True,
        find="Measure the top of the blade at its thickest point with a caliper.",
    )
    tip_thickness: float = key(
        "thickness of the blade at its foot, NACA four-digit section",
        LENGTH,
        "0.1 mm to 2 m",
        example="4 mm",
        required=True,
        find="Measure the foot of the blade at its thickest point with a caliper.",
    )
    root_leading_edge_x: float = key(
        "top of the blade's leading edge, aft of the forward end of the waterline",
        LENGTH,
        "-50 m to 50 m",
        example="880 mm",
        required=True,
        find=(
            "Measure horizontally aft from the forward end of the waterline to the top of the blade's leading edge."
        ),
    )
    tip_leading_edge_x: float = key(
        "foot of the blade's leading edge, aft of the forward end of the waterline",
        LENGTH,
        "-50 m to 50 m",
        example="886 mm",
        required=True,
        find=(
            "Measure horizontally aft from the forward end of the waterline to the foot of the blade's leading edge."
        ),
    )
    root_z: float = key(
        "height of the blade's top, where it meets the hull",
        LENGTH,
        "-50 m to 50 m",
        example="-14 mm",
        required=True,
        find="Measure from the waterline down to the top of the blade. Write it with a minus sign.",
    )
    tip_z: float = key(
        "height of the blade's foot",
        LENGTH,
        "-50 m to 50 m",
        example="-150 mm",
        required=True,
        find="Measure from the waterline down to the foot of the blade. Write it with a minus sign.",
    )
    mass: float | None = key(
        "mass of the complete blade, weighed; or give density, or list the rudder as a weight",
        MASS,
        "0 g to 5 t",
        example="32 g",
        find="Weigh the blade with its stock.",
    )
    density: float | None = key(
        "estimated density of the blade",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="1.2 g/cm3",
        find="Weigh an offcut and divide by its volume.",
    )


@section("rig", step="boat", basic="wind", only_with=_with_boat("rig"))
class RigSection:
    """Section [rig], with the sails and wind that heel her. Area is in m2, heights in m in boat axes, air density in
    kg/m3, wind in m/s, leeway in rad.

    If `lateral_z`, `force_coefficient` or `full_size` is None, its value is set when the boat's figures are
    calculated, and is reported. If `wind` is None, results that depend on it are not reported.
    """

    sail_area: float = key(
        "area of all the sails that heel her",
        AREA,
        "1 cm2 to 1000 m2",
        example="3600 cm2",
        required=True,
        find="Measure the luff, leech and foot of each sail and add up the areas of the triangles, without the roach.",
    )
    effort_z: float = key(
        "height of the sails' centre of effort above her waterline",
        LENGTH,
        "-50 m to 50 m",
        example="640 mm",
        required=True,
        title="Centre of effort, z",
        find=(
            "Find each sail's centre, where the lines from its corners to the midpoints of the opposite sides cross. "
            "Average the heights of the centres, weighted by area."
        ),
    )
    lateral_z: float | None = key(
        "height of the centre of lateral resistance; default: 45 % of the way down to the fin's tip",
        LENGTH,
        "-50 m to 50 m",
        example="-165 mm",
        title="Centre of lateral resistance, z",
        find="Leave it out, or cut the underwater side view out of card and find where it balances.",
    )
    force_coefficient: float | None = key(
        "coefficient of side force: force divided by dynamic pressure and sail area; default: 1.2",
        "number",
        "above 0 and up to 3",
        example="1.2",
        find="Leave it out. For close-hauled yacht sails it is 1.0 to 1.3.",
    )
    coefficient_source: str | None = key(
        "source of the coefficient, shown with every result",
        "text",
        example="measured on a similar rig",
        varied="without effect",
        only_with=OnlyWith(
            "force_coefficient",
            read="a source without force_coefficient",
            expected="the coefficient to which the source belongs",
            remedy="Add force_coefficient = 1.2, say, or remove the source.",
        ),
        find="Write where the coefficient comes from.",
    )
    heel_exponent: float = key(
        "exponent of cos(heel) in the wind's heeling moment, which decreases as the boat heels",
        "number",
        "0 to 4",
        default="2",
        source="derived: area and arm both shrink as cos(heel) in the wind's plane; other rules have a smaller exponent",
        find="Leave it at 2, or copy it from the method you are comparing with.",
    )
    air_density: float = key(
        "density of the air",
        DENSITY,
        "0.7 kg/m3 to 1.6 kg/m3",
        default="1.225 kg/m3",
        source="ISO 2533 standard atmosphere, sea level, 15 degC",
        find=("Leave it out, or calculate it from pressure and temperature. It is lower in the mountains."),
    )
    wind: float | None = key(
        "steady wind that she has to stand up to, measured at the sails",
        SPEED,
        "above 0 m/s and up to 60 m/s",
        example="4 m/s",
        find="Choose the strongest steady wind she has to stand up to with these sails.",
    )
    leeway_limit: float = key(
        "largest leeway allowed",
        ANGLE,
        "above 0 deg and up to 20 deg",
        default="5 deg",
        source="common practice, no source: close-hauled boats make 3 to 6 degrees of leeway",
        find="Your choice: 3 to 5 degrees is typical to windward.",
    )
    full_size: float | None = key(
        "size of a second boat of the same design, for comparison: its length divided by your boat's; default: from "
        "boat.scale",
        "number",
        "0.001 to 1000",
        example="10",
        varied="without effect",
        find="Divide the other boat's length by that of your boat.",
    )
