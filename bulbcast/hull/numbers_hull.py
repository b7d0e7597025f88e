"""A hull known by a few bare numbers, such as a designer prints beside the lines."""

from __future__ import annotations

import math

from bulbcast.hull.design_line import DesignLine
from bulbcast.hull.faults import HullError, HullRemark, fault

_FULLEST = 1.0


def design_line_of_numbers(
    *,
    displaced_mass: float,
    water_density: float,
    buoyancy_x: float,
    length: float,
    buoyancy_z: float | None = None,
    waterplane_area: float | None = None,
    flotation_x: float | None = None,
    beam: float | None = None,
    draught: float | None = None,
    bm_across: float | None = None,
    bm_along: float | None = None,
    source: str = "hull numbers",
) -> DesignLine:
    """A hull from bare numbers, at her design waterline; what is not given stays unknown and is not guessed.

    Args:
        displaced_mass: Mass of the water that the hull displaces on her design waterline. [kg]
        water_density: Of the water that it was given for. [kg/m3]
        buoyancy_x: Centre of buoyancy aft of the forward end of the design waterline. [m]
        length: Of the design waterline. [m]
        buoyancy_z: Centre of buoyancy, negative below the waterline. [m]
        waterplane_area: [m2]
        flotation_x: Centre of the waterplane. [m]
        beam: Of the design waterline. [m]
        draught: Of the hull without fin. [m]
        bm_across: Metacentre over the centre of buoyancy, heeling. [m]
        bm_along: Likewise, trimming. [m]
        source: What messages call the hull. [-]

    Returns:
        The same figures that a surface or a table gives, None where not known.

    Raises:
        HullError: A figure that no hull has, or figures that contradict one another; all of them.
    """
    faults = [
        fault(
            "not-positive",
            f"The {name} was read as {value:g}.",
            "Give a positive number.",
            found=value,
            limit=0.0,
        )
        for name, value in (
            ("displacement", displaced_mass),
            ("water's density", water_density),
            ("length of the design waterline", length),
            ("waterplane area", waterplane_area),
            ("beam", beam),
            ("draught", draught),
            ("BM across", bm_across),
            ("BM along", bm_along),
        )
        if value is not None and not (math.isfinite(value) and value > 0.0)
    ]
    if not faults:
        faults = _places(buoyancy_x, buoyancy_z, flotation_x, length, draught) + _fullness(
            displaced_mass / water_density, length, waterplane_area, beam, draught
        )
    if faults:
        raise HullError(source, faults)
    return DesignLine(
        volume=displaced_mass / water_density,
        buoyancy_x=buoyancy_x,
        buoyancy_z=buoyancy_z,
        waterplane_area=waterplane_area,
        flotation_x=flotation_x,
        length=length,
        beam=beam,
        draught=draught,
        bm_across=bm_across,
        bm_along=bm_along,
        wetted_area=None,
        how="numbers as given",
    )


def _places(
    buoyancy_x: float,
    buoyancy_z: float | None,
    flotation_x: float | None,
    length: float,
    draught: float | None,
) -> list[HullRemark]:
    """Centres that lie off the hull."""
    found = [
        fault(
            "centre-off-hull",
            f"The {name} at {1e3 * x:.5g} mm lies off the design waterline, which runs from 0 to {1e3 * length:.5g} mm.",
            "It is measured aft from the forward end of the design waterline.",
            found=x,
            limit=length if x > length else 0.0,
            unit="m",
        )
        for name, x in (("centre of buoyancy", buoyancy_x), ("centre of flotation", flotation_x))
        if x is not None and not 0.0 < x < length
    ]
    if buoyancy_z is not None and not (buoyancy_z < 0.0 and (draught is None or buoyancy_z > -draught)):
        limit = "" if draught is None else f" and no deeper than {1e3 * draught:.5g} mm"
        found.append(
            fault(
                "buoyancy-height",
                f"The centre of buoyancy was read {1e3 * buoyancy_z:.5g} mm above the design waterline.",
                f"It lies below it{limit}: give its height as a negative figure.",
                found=buoyancy_z,
                limit=0.0,
                unit="m",
            )
        )
    return found


def _fullness(
    volume: float, length: float, waterplane_area: float | None, beam: float | None, draught: float | None
) -> list[HullRemark]:
    """A hull fuller than the box round it."""
    found = []
    boxes = (
        ("waterplane", waterplane_area, "length by beam", None if beam is None else length * beam, "m2"),
        (
            "displaced volume",
            volume,
            "waterplane by draught",
            None if waterplane_area is None or draught is None else waterplane_area * draught,
            "m3",
        ),
        (
            "displaced volume",
            volume,
            "length by beam by draught",
            None
            if beam is None or draught is None or waterplane_area is not None
            else length * beam * draught,
            "m3",
        ),
    )
    for name, value, what, box, unit in boxes:
        if value is not None and box is not None and value > _FULLEST * box:
            found.append(
                fault(
                    "fuller-than-box",
                    f"The {name} of {value:.4g} {unit} is more than {what}, {box:.4g} {unit}.",
                    "One of the figures is in another unit or belongs to another waterline: mend it.",
                    found=value,
                    limit=box,
                    unit=unit,
                )
            )
    return found
