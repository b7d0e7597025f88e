"""The cast body: the cold casting before anything is filed, cut or drilled."""

from __future__ import annotations

from bulbcast.bulb.body.integrals import BodyVolume, parallel_volume
from bulbcast.bulb.body.pieces import Piece
from bulbcast.bulb.cuts.layers import bore_through_layer, outline_through_layer, recess_through_layer
from bulbcast.bulb.cuts.union import removed_by
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import outline_nodes
from bulbcast.quantities.frozen import frozen


@frozen
class CoredCuts:
    """Cuts that the mould forms with cores: the pocket, and each screw's hole with its recess."""

    pocket: bool
    screws: tuple[bool, ...]


@frozen
class CastBody:
    """The lead body enlarged by the finish allowance, with cored cuts at their finished size.

    Attributes:
        finish: Allowance for filing and fairing, the same thickness all over. [m]
        cored: Cuts that are cavities in the casting.
        density: Density of the casting, voids included. [kg/m3]
        volume: Volume. [m3]
        mass: Mass. [kg]
        mass_centre_x: Distance of the mass centre from the finished nose. [m]
        mass_centre_z: Height of the mass centre above the axis. [m]
        finish_mass: Mass to be filed off. [kg]
        cut_later_mass: Mass of the lead that is cut or drilled out afterwards. [kg]
        length: Overall length. [m]
        width: Width. [m]
        height: Height. [m]
    """

    finish: float
    cored: CoredCuts
    density: float
    volume: float
    mass: float
    mass_centre_x: float
    mass_centre_z: float
    finish_mass: float
    cut_later_mass: float
    length: float
    width: float
    height: float


def cored_cavities(bulb: HungBulb, cored: CoredCuts, distance: float) -> Piece:
    """Calculate the volume and moments that the cored cuts remove from the body enlarged to a parallel surface.

    Args:
        bulb: The sized bulb.
        cored: Cuts that are cored.
        distance: Distance of the parallel surface from the body. The cavities extend through this layer at their finished
            size. [m]

    Returns:
        Volume and moments of the cavities.
    """
    chosen = [space for is_cored, space in zip(cored.screws, bulb.cuts.screws, strict=True) if is_cored]
    cavities = removed_by(
        bulb.body,
        bulb.axis,
        bulb.pocket,
        bulb.cuts.pocket if cored.pocket else None,
        chosen,
        # Cast-in parts act like cores in the mould; a cross pin hole is drilled later.
        studs=bulb.cuts.studs,
    )
    if cored.pocket:
        # Fine nodes, because the layer has a kink where the lead's surface crosses the level of the floor.
        nodes = outline_nodes(bulb.pocket.tip, bulb.pocket.clearance, along=96, across=24)
        cavities = cavities + outline_through_layer(
            bulb.body, bulb.axis, bulb.pocket.leading_edge_x, nodes, distance
        )
        if bulb.through:
            cavities = cavities + outline_through_layer(
                bulb.body, bulb.axis, bulb.pocket.leading_edge_x, nodes, distance, underside=True
            )
    for stud in bulb.stud_cuts:
        cavities = cavities + bore_through_layer(
            bulb.body, bulb.axis, stud.at_x, 0.5 * stud.diameter, distance
        )
    # In the thin layer, two overlapping recesses are still counted separately. They cause a stop anyway, and only a
    # sliver is affected.
    for screw in (space.screw for space in chosen):
        cavities = cavities + recess_through_layer(bulb.body, bulb.axis, screw, distance)
        cavities = cavities + bore_through_layer(
            bulb.body, bulb.axis, screw.at_x, 0.5 * screw.hole_diameter, distance
        )
    return cavities


def grown_less_cavities(bulb: HungBulb, cored: CoredCuts, distance: float) -> Piece:
    """Calculate the volume inside the body's parallel surface, less the cored cavities through it.

    Args:
        bulb: The sized bulb.
        cored: Cuts that are cored.
        distance: Distance of the parallel surface. [m]
    """
    grown: BodyVolume = parallel_volume(bulb.volume, bulb.surface, distance)
    whole = Piece(volume=grown.volume, moment_x=grown.moment_x)
    return whole - cored_cavities(bulb, cored, distance)


def cast_body_of(bulb: HungBulb, *, cored: CoredCuts, finish: float, density: float) -> CastBody:
    """Return the cast body of a sized bulb.

    Args:
        bulb: The sized bulb.
        cored: Cuts that are cored; the others remain solid metal.
        finish: Allowance for filing and fairing. [m]
        density: Density of the casting, voids included. [kg/m3]

    Returns:
        The cast body, which after filing, cutting and drilling contains the same lead as the sized bulb.
    """
    solid = grown_less_cavities(bulb, cored, finish)
    unfiled = grown_less_cavities(bulb, cored, 0.0)
    return CastBody(
        finish=finish,
        cored=cored,
        density=density,
        volume=solid.volume,
        mass=density * solid.volume,
        mass_centre_x=solid.moment_x / solid.volume,
        mass_centre_z=solid.moment_z / solid.volume,
        finish_mass=density * (solid.volume - unfiled.volume),
        cut_later_mass=density * (unfiled.volume - bulb.net_lead.volume),
        length=bulb.body.length + 2.0 * finish,
        width=bulb.body.width + 2.0 * finish,
        height=bulb.body.height + 2.0 * finish,
    )


FINISH_SOURCE = "judgement: 0.5 % of the diameter, but at least 0.1 mm and at most 0.5 mm"


def default_finish(diameter: float) -> float:
    """Return the default finish allowance: 0.5 % of the diameter, from 0.1 to 0.5 mm.

    Args:
        diameter: Diameter of the finished lead body. [m]

    Returns:
        Thickness of the layer to be filed off. [m]
    """
    return min(max(0.005 * diameter, 0.1e-3), 0.5e-3)
