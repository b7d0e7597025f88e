"""The solids of a job: finished bulb and pattern. They are cut only once, when a file needs them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bulbcast.bulb.body.facets import LARGEST_FACET_COUNT, TooManyFacetsError, body_mesh, chord_error_used
from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.cuts.drilled import DrilledHole
from bulbcast.bulb.cuts.solids import drill_cutter, pin_cutter, pocket_cutter, screw_cutters, stud_cutter
from bulbcast.pattern.cast_body import grown_less_cavities
from bulbcast.pattern.results import PatternResults
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.solids.kernel import cut_solid
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.read_back import SolidMeant, volume_bound


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solid:
    """A solid ready for writing, and the values it must have when read back."""

    mesh: Mesh
    meant: SolidMeant
    finer: float = 1.0
    """Chord error used for the solid, as a fraction of the one derived from the plan. [-]"""


# If a cut grazes the surface, facets represent it less accurately. The solid is then made again with finer facets until
# it agrees with the quadrature well within the limit, at most this many times.
_FINER = (1.0, 0.5, 0.25, 0.125)


def _too_fine(job: PatternResults, error: TooManyFacetsError) -> PlanError:
    """Return the plan fault for a chord error that would need too many facets."""
    allowed = job.plan.pattern.chord_error
    coarser = allowed * error.chord_error / error.asked
    # In thousandths of a millimetre the figure would round to zero, so it is reported in full and the fix is a little
    # coarser.
    enough = math.ceil(1.05e7 * coarser) / 1e4
    return PlanError(
        [
            Fault(
                file=job.plan.source,
                key="pattern.chord_error",
                read=f"{allowed * 1e3:g} mm",
                expected=f"a chord error that needs at most {LARGEST_FACET_COUNT:,} facets; this one needs {error.facets:,}",
                remedy=f'Set chord_error = "{enough:g} mm" or more.',
            )
        ]
    )


def _fine_enough(solid: Solid) -> bool:
    meant = solid.meant
    bound = 0.7 * volume_bound(meant.chord_error) * meant.quadrature_volume
    return abs(meant.volume - meant.quadrature_volume) <= bound


def bulb_solid(job: PatternResults, chord_error: float | None = None) -> Solid:
    """Return the solid of the finished lead with all its cuts.

    Args:
        job: The results.
        chord_error: Chord error to use instead of the plan's, for a picture. [m]

    Raises:
        PlanError: The plan's chord error would need too many facets.
    """
    if chord_error is not None:
        return _bulb_solid(job, chord_error, 1.0)
    return _made(job, lambda finer: _bulb_solid(job, job.plan.pattern.chord_error, finer))


def drilled_solid(job: PatternResults, holes: Sequence[DrilledHole]) -> Solid:
    """Return the solid of the finished lead with the unfilled holes that reduce its mass to the target.

    Args:
        job: The results.
        holes: Holes of the drilling schedule.
    """
    return _made(job, lambda finer: _bulb_solid(job, job.plan.pattern.chord_error, finer, holes))


def pattern_solid(job: PatternResults) -> Solid:
    """Return the solid of the pattern before its coat of sealer, with its cored cavities.

    Args:
        job: The results.
    """
    return _made(job, lambda finer: _pattern_solid(job, finer))


def _made(job: PatternResults, make: Callable[[float], Solid]) -> Solid:
    """Make the solid with facets as fine as necessary, or the finest possible."""
    solid = None
    for finer in _FINER:
        try:
            solid = make(finer)
        except TooManyFacetsError as error:
            if solid is None:
                raise _too_fine(job, error) from None
            return solid
        if _fine_enough(solid):
            break
    assert solid is not None
    return solid


def _bulb_solid(
    job: PatternResults, allowed: float, finer: float, holes: Sequence[DrilledHole] = ()
) -> Solid:
    bulb = job.bulb
    error = finer * chord_error_used(bulb.body.diameter, allowed)
    body = body_mesh(
        bulb.body,
        distance=0.0,
        volume=bulb.volume.volume,
        centroid_x=bulb.volume.centroid_x,
        chord_error=error,
    )
    cutters = _cutters(
        job, pocket=True, screws=tuple(True for _ in bulb.screw_cuts), pins=True, layer=0.0, error=error
    )
    cutters += [drill_cutter(hole, chord_error=error) for hole in holes]
    mesh, volume, centroid = cut_solid(body, cutters)
    net = bulb.net_lead
    for hole in holes:
        net = net - hole.piece
    half = 0.5 * np.array([0.0, bulb.body.width, bulb.body.height])
    return Solid(
        mesh=mesh,
        meant=SolidMeant(
            name="bulb-drilled.stl" if holes else "bulb.stl",
            volume=volume,
            centroid=centroid,
            quadrature_volume=net.volume,
            quadrature_centroid=np.array([net.moment_x, 0.0, net.moment_z]) / net.volume,
            box=np.stack([-half, half + np.array([bulb.body.length, 0.0, 0.0])]),
            chord_error=allowed,
        ),
    )


def pattern_body(job: PatternResults, error: float) -> Mesh:
    """Return the pattern's body before scaling and without cavities.

    Args:
        job: The results.
        error: Chord error of its facets, before scaling. [m]
    """
    bulb, pattern = job.bulb, job.pattern
    grown = parallel_volume(bulb.volume, bulb.surface, pattern.offset)
    return body_mesh(
        bulb.body,
        distance=pattern.offset,
        volume=grown.volume,
        centroid_x=grown.centroid_x,
        chord_error=error,
    )


def pattern_chord_error(job: PatternResults, finer: float) -> float:
    """Return the chord error of the pattern's facets, before scaling. [m]

    Args:
        job: The results.
        finer: Chord error to use, as a fraction of the one that follows from the plan. [-]
    """
    allowed = job.plan.pattern.chord_error
    return finer * chord_error_used(job.bulb.body.diameter, allowed) / job.pattern.scale


def _pattern_solid(job: PatternResults, finer: float) -> Solid:
    bulb, pattern = job.bulb, job.pattern
    allowed = job.plan.pattern.chord_error
    error = pattern_chord_error(job, finer)
    body = pattern_body(job, error)
    cored = job.cast.cored
    cutters = _cutters(
        job, pocket=cored.pocket, screws=cored.screws, pins=False, layer=max(pattern.offset, 0.0), error=error
    )
    mesh, volume, centroid = cut_solid(body, cutters, scale=pattern.scale)
    solid = grown_less_cavities(bulb, cored, pattern.offset)
    half = 0.5 * np.array([0.0, pattern.width, pattern.height])
    nose = -pattern.scale * pattern.offset
    return Solid(
        mesh=mesh,
        meant=SolidMeant(
            name="pattern.stl",
            volume=volume,
            centroid=centroid,
            quadrature_volume=pattern.volume,
            quadrature_centroid=pattern.scale
            * np.array([solid.moment_x, 0.0, solid.moment_z])
            / solid.volume,
            box=np.stack(
                [
                    np.array([nose, 0.0, 0.0]) - half,
                    np.array([nose + pattern.length, 0.0, 0.0]) + half,
                ]
            ),
            chord_error=allowed,
        ),
        finer=finer,
    )


def pocket_cutters(job: PatternResults, *, layer: float, error: float) -> list[Mesh]:
    """Return the cutter for the pocket, before any scaling.

    Args:
        job: The results.
        layer: Thickness of the layer outside the body that the cutter must pass through. [m]
        error: Chord error. [m]
    """
    bulb = job.bulb
    return [
        pocket_cutter(
            bulb.axis,
            bulb.pocket,
            top=0.5 * bulb.body.height + layer,
            chord_error=error,
            right_through=bulb.through,
        )
    ]


def hole_cutters(job: PatternResults, index: int, *, layer: float, error: float) -> list[Mesh]:
    """Return the cutters for a screw's hole and recess, before any scaling; none if the screw misses the lead.

    Args:
        job: The results.
        index: Index of the screw.
        layer: Thickness of the layer outside the body that the cutter must pass through. [m]
        error: Chord error. [m]
    """
    bulb = job.bulb
    seat = bulb.cuts.screws[index].seat
    depth = 2.0 * (bulb.body.height + layer) + abs(seat)
    return screw_cutters(bulb.axis, bulb.screw_cuts[index], seat, depth=depth, chord_error=error)


def _cutters(
    job: PatternResults, *, pocket: bool, screws: tuple[bool, ...], pins: bool, layer: float, error: float
) -> list[Mesh]:
    bulb = job.bulb
    cutters = pocket_cutters(job, layer=layer, error=error) if pocket else []
    for index, wanted in enumerate(screws):
        if wanted:
            cutters += hole_cutters(job, index, layer=layer, error=error)
    cutters += [stud_cutter(bulb.axis, stud, chord_error=error) for stud in bulb.stud_cuts]
    if pins:
        cutters += [
            pin_cutter(bulb.axis, pin, half_width=0.5 * bulb.body.width, chord_error=error)
            for pin in bulb.pin_cuts
        ]
    return cutters
