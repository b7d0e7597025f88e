"""Keys of [rudder] and [rig]: what steers her and what heels her.

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from bulbcast.plan.key import Key, Kind, number, quantity
from bulbcast.quantities import Dimension

_L, _M, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.DENSITY
_PLACE = ("-50 m", "50 m")

RUDDER_KEYS = (
    quantity(
        "rudder.root_chord",
        _L,
        "1 mm",
        "10 m",
        "46 mm",
        "fore-and-aft length at the top of the blade",
        required=True,
    ),
    quantity("rudder.tip_chord", _L, "1 mm", "10 m", "34 mm", "likewise at its foot", required=True),
    quantity(
        "rudder.root_thickness",
        _L,
        "0.1 mm",
        "2 m",
        "5 mm",
        "NACA four-digit section at the top of the blade",
        required=True,
    ),
    quantity("rudder.tip_thickness", _L, "0.1 mm", "2 m", "4 mm", "likewise at its foot", required=True),
    quantity("rudder.root_leading_edge_x", _L, *_PLACE, "880 mm", "in boat axes", required=True),
    quantity("rudder.tip_leading_edge_x", _L, *_PLACE, "886 mm", "in boat axes", required=True),
    quantity(
        "rudder.root_z",
        _L,
        *_PLACE,
        "-14 mm",
        "level of the blade's top, where it meets the hull",
        required=True,
    ),
    quantity("rudder.tip_z", _L, *_PLACE, "-150 mm", "level of its foot", required=True),
    quantity(
        "rudder.mass", _M, "0 g", "5 t", "32 g", "the whole blade, weighed; or density, or a line of its own"
    ),
    quantity("rudder.density", _DENSITY, "50 kg/m3", "25000 kg/m3", "1.2 g/cm3", "of the blade, estimated"),
)

RIG_KEYS = (
    quantity(
        "rig.sail_area",
        Dimension.AREA,
        "1 cm2",
        "1000 m2",
        "3600 cm2",
        "all the sails that heel her",
        required=True,
    ),
    quantity(
        "rig.effort_z",
        _L,
        *_PLACE,
        "640 mm",
        "level of the sails' centre of effort, above her waterline",
        required=True,
    ),
    quantity(
        "rig.lateral_z",
        _L,
        *_PLACE,
        "-165 mm",
        "level of the centre of lateral resistance; left out: 45 % of the way down to the fin's tip",
    ),
    number(
        "rig.force_coefficient",
        "0",
        "3",
        "1.2",
        "side force over dynamic pressure and sail area; left out: 1.2",
        above=True,
    ),
    Key(
        name="rig.coefficient_source",
        kind=Kind.TEXT,
        about="where the coefficient comes from; shown beside every answer",
        example='"measured on a like rig"',
    ),
    number(
        "rig.heel_exponent",
        "0",
        "4",
        "2",
        "power of cos(heel) by which the wind's moment falls",
        default="2",
        source="area and arm both shrink as cos(heel) in the wind's plane, derived; other rules have less",
    ),
    quantity(
        "rig.air_density",
        _DENSITY,
        "0.7 kg/m3",
        "1.6 kg/m3",
        "1.225 kg/m3",
        "of the air",
        default="1.225 kg/m3",
        source="ISO 2533 standard atmosphere, sea level, 15 degC",
    ),
    quantity(
        "rig.wind",
        Dimension.SPEED,
        "0 m/s",
        "60 m/s",
        "4 m/s",
        "steady, on the sail, that she is to stand",
        above=True,
    ),
    quantity(
        "rig.leeway_limit",
        Dimension.ANGLE,
        "0 deg",
        "20 deg",
        "5 deg",
        "largest leeway wanted",
        above=True,
        default="5 deg",
        source="common practice, no source: close-hauled boats make 3 to 6 degrees",
    ),
    number(
        "rig.full_size",
        "0.001",
        "1000",
        "10",
        "another size of the same boat to compare with: its length over hers; left out: from boat.scale",
    ),
)
