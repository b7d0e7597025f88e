"""A hull at her design waterline, upright: the figures that every kind of hull gives as far as it goes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignLine:
    """A hull upright on her design waterline; None where the source does not tell.

    Attributes:
        volume: Displaced. [m3]
        buoyancy_x: Of the centre of buoyancy, boat axes. [m]
        buoyancy_z: Likewise, negative below the waterline. [m]
        waterplane_area: [m2]
        flotation_x: Of the waterplane's centre. [m]
        length: Of the design waterline. [m]
        beam: Of the design waterline. [m]
        draught: To the hull's lowest point. [m]
        bm_across: Metacentre over the centre of buoyancy, heeling. [m]
        bm_along: Likewise, trimming. [m]
        wetted_area: [m2]
        how: What it was worked out from, for reports. [-]
    """

    volume: float
    buoyancy_x: float
    buoyancy_z: float | None
    waterplane_area: float | None
    flotation_x: float | None
    length: float
    beam: float | None
    draught: float | None
    bm_across: float | None
    bm_along: float | None
    wetted_area: float | None
    how: str

    def gm_across(self, mass_centre_z: float) -> float | None:
        """Metacentre over the mass centre, heeling; None where it cannot be told.

        Args:
            mass_centre_z: Of everything aboard. [m]
        """
        if self.bm_across is None or self.buoyancy_z is None:
            return None
        return self.buoyancy_z + self.bm_across - mass_centre_z

    def gm_along(self, mass_centre_z: float) -> float | None:
        """Metacentre over the mass centre, trimming; None where it cannot be told.

        Args:
            mass_centre_z: Of everything aboard. [m]
        """
        if self.bm_along is None or self.buoyancy_z is None:
            return None
        return self.buoyancy_z + self.bm_along - mass_centre_z

    def mass_per_immersion(self, water_density: float) -> float | None:
        """Mass that sinks her by a unit of length; over 1000 it is kg per mm. [kg/m]

        Args:
            water_density: [kg/m3]
        """
        return None if self.waterplane_area is None else water_density * self.waterplane_area

    def moment_per_trim(self, water_density: float, mass_centre_z: float) -> float | None:
        """Moment that trims her by a unit of length over the waterline; over 1000 it is kg m per mm. [kg m/m]

        Args:
            water_density: [kg/m3]
            mass_centre_z: Of everything aboard, with the whole mass that of the water displaced. [m]

        References:
            MCT = displacement x GM along / length.
        """
        gm = self.gm_along(mass_centre_z)
        return None if gm is None else water_density * self.volume * gm / self.length
