"""A hull upright on its design waterline, with the figures that each kind of hull input can provide.

A hull displacement given only as a number is that of the hull alone, without fin and bulb. A published displacement of
the complete boat includes fin and bulb, and is not split until the bulb's displacement is known.
"""

from __future__ import annotations

from bulbcast.hull.faults import HullError, HullRemark
from bulbcast.plan.boat_sections import BoatSection
from bulbcast.quantities.frozen import frozen


@frozen
class DesignLine:
    """A hull upright on its design waterline. A figure that the source does not give is None.

    Attributes:
        volume: Volume displaced by the hull, or by the complete boat if `all_up`. [m3]
        buoyancy_x: x of the hull's centre of buoyancy, boat axes. [m]
        buoyancy_z: z of the hull's centre of buoyancy, negative below the waterline. [m]
        waterplane_area: Area of the waterplane. [m2]
        flotation_x: x of the waterplane's centre. [m]
        length: Length of the design waterline. [m]
        beam: Beam of the design waterline. [m]
        draught: Depth of the hull's lowest point. [m]
        bm_across: Height of the transverse metacentre above the centre of buoyancy. [m]
        bm_along: Height of the longitudinal metacentre above the centre of buoyancy. [m]
        wetted_area: Wetted area. [m2]
        how: Source of the figures, as stated in reports. [-]
        all_up: Whether `volume` includes fin, rudder and bulb. [-]
        band: Half width of the 19-in-20 band of `bm_along`, as a fraction of `bm_along`, if that is estimated from the
            waterplane area; 0 if it is given or calculated. [-]
        centre_spread: Standard deviation of `flotation_x` if it is estimated, otherwise 0. [m]
    """

    volume: float
    buoyancy_x: float | None
    buoyancy_z: float | None
    waterplane_area: float | None
    flotation_x: float | None
    length: float | None
    beam: float | None
    draught: float | None
    bm_across: float | None
    bm_along: float | None
    wetted_area: float | None
    how: str
    all_up: bool = False
    band: float = 0.0
    centre_spread: float = 0.0

    def mass_per_immersion(self, water_density: float) -> float | None:
        """Return the mass that sinks the boat by a metre; divide by 1000 for kg per mm. [kg/m]

        Args:
            water_density: Density of the water. [kg/m3]
        """
        return None if self.waterplane_area is None else water_density * self.waterplane_area


def design_line_of_numbers(boat: BoatSection, water_density: float) -> DesignLine:
    """Return a hull given as numbers only, such as those printed with a lines plan. Missing figures are not guessed.

    Args:
        boat: [boat] section, with the hull's displacement, waterline and centre of buoyancy.
        water_density: Density of the plan's water. [kg/m3]

    Raises:
        HullError: Some figures are impossible for a hull or contradict one another; all such figures are reported.
        ValueError: The section does not give the hull as numbers.
    """
    displacement = boat.displacement if boat.hull_displacement is None else boat.hull_displacement
    if displacement is None or boat.hull is not None or boat.offsets is not None:
        raise ValueError("the hull file was not loaded")
    all_up = boat.hull_displacement is None
    volume = displacement / drawn_for(boat, water_density)
    faults = _centres_off(boat, boat.waterline_length)
    if not all_up:
        faults += _too_full(boat, boat.waterline_length, volume)
    if faults:
        raise HullError("hull numbers", faults)
    return DesignLine(
        volume=volume,
        buoyancy_x=boat.buoyancy_x,
        buoyancy_z=boat.buoyancy_z,
        waterplane_area=boat.waterplane_area,
        flotation_x=boat.flotation_x,
        length=boat.waterline_length,
        beam=boat.waterline_beam,
        draught=boat.hull_draught,
        bm_across=boat.metacentric_radius,
        bm_along=boat.metacentric_radius_along,
        wetted_area=None,
        how="the all-up displacement, as given" if all_up else "the figures given",
        all_up=all_up,
    )


def drawn_for(boat: BoatSection, water_density: float) -> float:
    """Return the density of the water for which the displacement was given; by default, that of the plan's water. [kg/m3]

    Args:
        boat: [boat] section.
        water_density: Density of the plan's water. [kg/m3]
    """
    return water_density if boat.displacement_water is None else boat.displacement_water


def _centres_off(boat: BoatSection, length: float | None) -> list[HullRemark]:
    """Return faults for centres outside the hull."""
    found = [
        HullRemark(
            "centre-off-hull",
            f"The {name} at {1e3 * x:.5g} mm is outside the design waterline, which runs from 0 to {1e3 * length:.5g} mm.",
            "Measure it aft from the forward end of the design waterline.",
            found=x,
            limit=length if x > length else 0.0,
            unit="m",
        )
        for name, x in (("centre of buoyancy", boat.buoyancy_x), ("centre of flotation", boat.flotation_x))
        if x is not None and length is not None and not 0.0 < x < length
    ]
    z, draught = boat.buoyancy_z, boat.hull_draught
    if z is not None and not (z < 0.0 and (draught is None or z > -draught)):
        limit = "" if draught is None else f" and no deeper than {1e3 * draught:.5g} mm"
        found.append(
            HullRemark(
                "buoyancy-height",
                f"The centre of buoyancy is given as {1e3 * z:.5g} mm above the design waterline.",
                f"It must be below the waterline{limit}. Give its height as a negative figure.",
                found=z,
                limit=0.0,
                unit="m",
            )
        )
    return found


def _too_full(boat: BoatSection, length: float | None, volume: float) -> list[HullRemark]:
    """Return faults for a hull that is fuller than its bounding box."""
    area, beam, draught = boat.waterplane_area, boat.waterline_beam, boat.hull_draught
    boxes: list[tuple[str, float, str, float, str]] = []
    if area is not None and beam is not None and length is not None:
        boxes.append(("waterplane", area, "length times beam", length * beam, "m2"))
    if area is not None and draught is not None:
        boxes.append(("displaced volume", volume, "waterplane area times draught", area * draught, "m3"))
    elif beam is not None and draught is not None and length is not None:
        boxes.append(
            ("displaced volume", volume, "length times beam times draught", length * beam * draught, "m3")
        )
    return [
        HullRemark(
            "fuller-than-box",
            f"The {name} of {value:.4g} {unit} is more than {what}, {box:.4g} {unit}.",
            "One of the figures is in the wrong unit or belongs to a different waterline. Correct it.",
            found=value,
            limit=box,
            unit=unit,
        )
        for name, value, what, box, unit in boxes
        if value > box
    ]
