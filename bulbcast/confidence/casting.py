"""Full model of the finished casting, calculated for many castings at once. It is used for the band, the aim and
learning.

The pattern, with its error, makes a cavity, and the metal in it contracts. The casting is then filed, cut and drilled as
planned and hung on the fin. It is the planned body scaled by one factor and offset by one distance, with its cuts at
the planned depths, measured from the crown and the underside. The pocket is set out in proportion to the length of the
casting, so that a longer casting does not shift under the fin. For cored cuts, the small change with the casting's
size (one per cent of the pocket's length) is ignored.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from bulbcast.bulb.body.attitude import nose_for_lead
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.union import fin_nodes
from bulbcast.bulb.hung.ledger import HungBulb, hang
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.quantities.frozen import replace as copied
from bulbcast.solids.quadrature import Array

_REACH = 0.06
"""Range of the scale on either side of one; twelve typical standard deviations. [-]"""
_NODES = 3
"""Number of body sizes at which the cuts are calculated. With three sizes, the error is a millionth of the mass. [-]"""
_LEAD, _FASTENING = ("lead",), ("screw", "washer", "pin", "stud")


@dataclass(frozen=True, slots=True, kw_only=True)
class Castings:
    """Properties of possible castings, each an array of shape (n,) or a single figure.

    Attributes:
        density: Density of the sound metal. [kg/m3]
        porosity: Porosity of the casting. [-]
        scale: Ratio of the casting's lengths to those of the planned cast body. [-]
        grown: Thickness of any extra layer left after filing. [m]
        skin: Thickness of fairing and paint. [m]
        filler_density: Density of the filler. [kg/m3]
        fastenings: Ratio of the mass of screws, pins and studs to the planned mass. [-]
    """

    density: Array
    porosity: Array
    scale: Array
    grown: Array
    skin: Array
    filler_density: Array
    fastenings: Array


@dataclass(frozen=True, kw_only=True, eq=False)
class CastingModel:
    """Model of the possible castings of a planned bulb.

    Attributes:
        bulb: The bulb as planned.
        wish: Requirements that the bulb meets.
    """

    bulb: HungBulb
    wish: BulbWish

    @cached_property
    def _others(self) -> dict[str, tuple[Array, Array]]:
        """Volumes of cuts, fastenings and fillings, and their moments about the tip's leading edge, as functions of the
        scale.

        The cuts are calculated in scaled bodies and fitted by polynomials in (scale - 1) / _REACH, with the highest
        power first.
        """
        bulb, wish = self.bulb, replace(self.wish, excess=0.0)
        nodes = fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile)
        at = np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES)
        rows: dict[str, list[tuple[float, float]]] = {"cut": [], "fastening": [], "filling": []}
        for step in at:
            scale = 1.0 + _REACH * float(step)
            body = _scaled(bulb, scale)
            lead = scale * bulb.pocket.leading_edge_x
            floor = bulb.axis.floor + 0.5 * (scale - 1.0) * bulb.body.height
            if wish.fin.through:
                floor = -0.5 * scale * bulb.body.height
            nose = nose_for_lead(
                leading_edge_x=wish.fin.leading_edge_x, lead=lead, floor=floor, incidence=wish.incidence
            )
            hung = hang(body, nose, wish, nodes)
            for name, kinds in (("cut", _LEAD), ("fastening", _FASTENING), ("filling", ("plug", "bedding"))):
                lines = [one for one in hung.lines if one.kind in kinds]
                if name == "cut":
                    lines = lines[1:]
                weight = [one.density if name == "fastening" else 1.0 for one in lines]
                volume = sum(w * one.piece.volume for w, one in zip(weight, lines, strict=True))
                moment = sum(w * one.piece.moment_x for w, one in zip(weight, lines, strict=True))
                rows[name].append((volume, moment - hung.pocket.leading_edge_x * volume))
        fitted = {}
        for name, row in rows.items():
            volumes, moments = np.array(row).T
            fitted[name] = (
                np.polyfit(at, volumes, _NODES - 1),
                np.polyfit(at, moments, _NODES - 1),
            )
        return fitted

    def hung(self, made: Castings) -> tuple[Array, Array]:
        """Calculate the hung mass and the balance point of undrilled castings.

        Args:
            made: Errors of the castings.

        Returns:
            Mass [kg], and distance of the mass centre aft of the tip's leading edge [m].
        """
        lead, _ = self._lead_edge(made)
        volume, moment = self.body(made.scale, made.grown)
        cast = made.density * (1.0 - made.porosity)
        # Depths are measured from crown and underside; a layer moves these in the same manner as a larger scale.
        high = (made.scale + 2.0 * made.grown / self.bulb.body.height - 1.0) / _REACH
        parts = {
            name: (np.polyval(volumes, high), np.polyval(moments, high))
            for name, (volumes, moments) in self._others.items()
        }
        cut, fastened, filled = parts["cut"], parts["fastening"], parts["filling"]
        painted, painted_moment = self.body(made.scale, made.grown + made.skin)
        share = made.skin / self.bulb.skin if self.bulb.skin > 0.0 else 0.0 * made.skin
        through = share * self.bulb.fin_through_skin.volume
        through_x = share * self._through_moment
        skin = painted - volume - through
        skin_moment = painted_moment - moment - lead * (painted - volume) - through_x
        mass = (
            cast * (volume + cut[0])
            + made.fastenings * fastened[0]
            + made.filler_density * (filled[0] + skin)
        )
        about = (
            cast * (moment - lead * volume + cut[1])
            + made.fastenings * fastened[1]
            + made.filler_density * (filled[1] + skin_moment)
        )
        return mass, about / mass

    @cached_property
    def _through_moment(self) -> float:
        through = self.bulb.fin_through_skin
        return through.moment_x - self.bulb.pocket.leading_edge_x * through.volume

    def _lead_edge(self, made: Castings) -> tuple[Array, Array]:
        """Position of the tip's leading edge in the scaled body, and the casting's length. [m]"""
        bulb = self.bulb
        length = made.scale * bulb.body.length + 2.0 * made.grown
        return bulb.pocket.leading_edge_x * length / bulb.body.length - made.grown, length

    def lengths(self, made: Castings) -> tuple[Array, Array]:
        """Calculate the length and largest diameter of the filed castings, shape (n,). [m]

        Args:
            made: Errors of the castings.
        """
        body = self.bulb.body
        return (
            made.scale * body.length + 2.0 * made.grown,
            made.scale * body.diameter + 2.0 * made.grown,
        )

    def body(self, scale: Array, grown: Array) -> tuple[Array, Array]:
        """Calculate the volume and moment of the body, first scaled and then enlarged, by Steiner's formula.

        Args:
            scale: Scale of all lengths, shape (n,). [-]
            grown: Thickness of the layer, negative if inwards, shape (n,). [m]

        Returns:
            Volume [m3], and its moment about the nose of the scaled body without its layer [m4].
        """
        v, s, d = self.bulb.volume, self.bulb.surface, grown
        inward = np.where(d < 0.0, 1.0, 0.0) * s.edge_square
        volume = (
            scale**3 * v.volume
            + scale**2 * s.area * d
            + scale * (s.mean_curvature + inward) * d**2
            + 4.0 / 3.0 * np.pi * d**3
        )
        moment = scale * (
            scale**3 * v.moment_x
            + scale**2 * s.area_moment_x * d
            + scale * (s.mean_curvature_moment_x + inward * s.length) * d**2
            + 4.0 / 3.0 * np.pi * s.curvature_centroid_x * d**3
        )
        return volume, moment

    def cut(self, made: Castings) -> Array:
        """Mass of the lead after filing, cutting and drilling for fastenings, before filling or hanging, shape (n,). [kg]

        Args:
            made: Errors of the castings.
        """
        volume, _ = self.body(made.scale, made.grown)
        volumes, _ = self._others["cut"]
        gone = np.polyval(volumes, (made.scale + 2.0 * made.grown / self.bulb.body.height - 1.0) / _REACH)
        return made.density * (1.0 - made.porosity) * (volume + gone)


def _scaled(bulb: HungBulb, scale: float) -> TurnedBody:
    """Return the planned body with all its lengths scaled."""
    body = bulb.body
    return copied(body, uncut_length=scale * body.uncut_length, diameter=scale * body.diameter)
