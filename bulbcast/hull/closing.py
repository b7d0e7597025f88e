"""All openings of a surface together: which are closed, what is said of that, and which are faults."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from bulbcast.hull.crossing import section
from bulbcast.hull.faults import HullRemark, Place, at, counted, fault
from bulbcast.hull.openings import Kind, Opening, cap, immersed_area, judged, rims
from bulbcast.hull.topology import Edges, open_edges
from bulbcast.solids.mesh import Triangles
from bulbcast.solids.quadrature import Array

_SECTIONS = 21
MOST_NAMED = 5
"""Faults of one kind that are named one by one."""

InFile = Callable[[Array], Place]
"""Turns a point in the boat's directions back into a place in the file."""


def openings(
    vertices: Array,
    triangles: Triangles,
    edges: Edges,
    plane: float,
    waterline: float,
    in_file: InFile,
    half: bool,
) -> tuple[list[Opening], list[HullRemark]]:
    """All openings, and the faults of those that must not be closed."""
    loose = open_edges(edges)
    corners = vertices[triangles]
    surface = 0.5 * float(
        np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum()
    )
    ends = np.array([vertices[:, 0].min(), vertices[:, 0].max()])
    inside = ends[0] + (np.arange(_SECTIONS) + 0.5) / _SECTIONS * (ends[1] - ends[0])
    largest = max(immersed_area(section(corners, float(x)), waterline) for x in inside)
    found = [
        judged(
            rim,
            vertices,
            surface=surface,
            waterline=waterline,
            centreplane=plane,
            ends=ends,
            largest_immersed=largest,
        )
        for rim in rims(edges.start[loose], edges.end[loose])
    ]
    bad = sorted(
        (each for each in found if each.kind in (Kind.HOLE, Kind.BELOW, Kind.UNDER_WATER)),
        key=lambda each: -each.area,
    )
    faults = [_hole(each, vertices, in_file, half) for each in bad[:MOST_NAMED]]
    if len(bad) > MOST_NAMED:
        faults.append(
            fault(
                "more-holes",
                f"There are {counted(len(bad) - MOST_NAMED, 'more hole', 'more holes')}, all smaller.",
                "Close them too.",
                found=float(len(bad)),
            )
        )
    return found, faults


def _hole(opening: Opening, vertices: Array, in_file: InFile, half: bool) -> HullRemark:
    """What is said of an opening that is not closed."""
    where = in_file(opening.middle)
    y = vertices[:, 1]
    reach = 1e-4 * opening.size
    on_a_side = max(
        float(np.mean(np.abs(y[opening.rim] - side) <= reach)) for side in (float(y.min()), float(y.max()))
    )
    if opening.kind is Kind.BELOW:
        return fault(
            "open-below",
            f"An opening {1e3 * opening.size:.4g} mm long faces down, about {at(where)}.",
            "The hull lies upside down if that is her deck: mend the axis that points up. Else close it.",
            place=where,
            found=opening.area,
            unit="m2",
        )
    if opening.kind is Kind.UNDER_WATER:
        return fault(
            "open-under-water",
            f"An opening {1e3 * opening.size:.4g} mm long leaves {1e4 * opening.immersed:.3g} cm2 of a cross-section open "
            f"under water, about {at(where)}.",
            "No transom stands so deep: a part of the hull is missing. Export the whole hull, or close that end in the "
            "modeller if she ends there.",
            place=where,
            found=opening.immersed,
            unit="m2",
        )
    if not half and on_a_side >= 0.25:
        return fault(
            "half-hull",
            f"The surface is open along a flat side {1e3 * opening.size:.4g} mm long, about {at(where)}.",
            "Say that it is one half of the hull if that side is her centreplane. Else close it.",
            place=where,
            found=opening.area,
            unit="m2",
        )
    return fault(
        "hole",
        f"The surface has a hole {1e3 * opening.size:.4g} mm across with {len(opening.rim)} edges, about {at(where)}.",
        "It is neither flat and small nor an open deck or transom: close it in the modeller, or export the hull "
        "again if the file was cut short.",
        place=where,
        found=opening.area,
        unit="m2",
    )


def with_caps(vertices: Array, triangles: Triangles, openings: list[Opening]) -> tuple[Array, Triangles]:
    """The surface with all openings closed."""
    for opening in openings:
        facets, points = cap(opening, vertices)
        vertices = np.concatenate([vertices, points])
        triangles = np.concatenate([triangles, facets])
    return vertices, triangles


def said(openings: list[Opening], in_file: InFile) -> list[HullRemark]:
    """What was closed."""
    remarks = []
    cracks = [each for each in openings if each.kind is Kind.CRACK]
    if cracks:
        where = in_file(cracks[0].middle)
        remarks.append(
            fault(
                "cracks-closed",
                f"{counted(len(cracks), 'crack', 'cracks')} without width were closed, first at {at(where)}.",
                "They change no volume.",
                place=where,
                found=float(len(cracks)),
                mended=True,
            )
        )
    words = {
        Kind.SMALL: ("small-opening-closed", "A small flat opening", "It was closed flat."),
        Kind.DECK: (
            "deck-closed",
            "An open deck",
            "It was closed straight across: righting arms with the deck under water are those of a decked boat.",
        ),
        Kind.END: ("end-closed", "An open transom or bow", "It was closed flat."),
    }
    for each in openings:
        if each.kind in words:
            code, what, done = words[each.kind]
            where = in_file(each.middle)
            remarks.append(
                fault(
                    code,
                    f"{what} of {1e4 * each.area:.3g} cm2 was found, {1e3 * each.size:.4g} mm long, about {at(where)}.",
                    done,
                    place=where,
                    found=each.area,
                    unit="m2",
                    mended=True,
                )
            )
    return remarks
